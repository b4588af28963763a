/**
 * Makes sense of the bytes of an unknown board: where messages begin and end, which bytes check
 * them, which look like cells; says how sure it is and drafts a description. Pure: bytes in, words
 * out. Begin at {@link org.cellherd.protocol.bringup.BringUp}.
 */
@NullMarked
package org.cellherd.protocol.bringup;

import org.jspecify.annotations.NullMarked;
