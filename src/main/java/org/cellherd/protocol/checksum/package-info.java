/** Check values of frames: one CRC engine by parameters, sums and exclusive-or, by name. */
@NullMarked
package org.cellherd.protocol.checksum;

import org.jspecify.annotations.NullMarked;
