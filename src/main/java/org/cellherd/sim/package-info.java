/**
 * Cells, pack, charger, sun, board and faults to test and to show with; shares no code with the
 * analyses it tests.
 */
@NullMarked
package org.cellherd.sim;

import org.jspecify.annotations.NullMarked;
