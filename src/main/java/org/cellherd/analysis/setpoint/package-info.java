/**
 * What to enter in the board and the charger of a planned pack, each number with its reason and
 * source. Pure arithmetic; proposes, and sets nothing. Entry: {@link
 * org.cellherd.analysis.setpoint.SetPoints}.
 */
@NullMarked
package org.cellherd.analysis.setpoint;

import org.jspecify.annotations.NullMarked;
