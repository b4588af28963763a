/** Values inside a message's data: reading them into a draft of a reading and writing them back. */
@NullMarked
package org.cellherd.protocol.field;

import org.jspecify.annotations.NullMarked;
