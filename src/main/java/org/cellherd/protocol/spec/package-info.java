/** Description files: reading one, and the talk with a board that it describes. */
@NullMarked
package org.cellherd.protocol.spec;

import org.jspecify.annotations.NullMarked;
