/**
 * What every part of the program's wiring uses: exit codes, the clock, lines on standard error, the
 * words for failures. The sub-packages wire all other packages and have no logic of their own; the
 * entry is {@code app.verb.Main}.
 */
@NullMarked
package org.cellherd.app;

import org.jspecify.annotations.NullMarked;
