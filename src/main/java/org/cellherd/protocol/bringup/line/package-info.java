/**
 * Makes sense of boards that talk in lines of text: separators, keys, check value, columns that
 * look like cells. Begin at {@link org.cellherd.protocol.bringup.line.TextLines}.
 */
@NullMarked
package org.cellherd.protocol.bringup.line;

import org.jspecify.annotations.NullMarked;
