/**
 * What is true of any pack: reading, cells, channels and their names, the plan, chemistry limits,
 * number formats. No input or output, no clock, no threads. Start at {@link
 * org.cellherd.pack.Reading}.
 */
@NullMarked
package org.cellherd.pack;

import org.jspecify.annotations.NullMarked;
