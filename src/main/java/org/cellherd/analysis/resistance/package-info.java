/**
 * Resistance of each cell and of the links, from the load steps that daily use brings. The pulse
 * length is always named: one second, ten and thirty are different quantities. Start at {@link
 * org.cellherd.analysis.resistance.ResistanceFold}.
 */
@NullMarked
package org.cellherd.analysis.resistance;

import org.jspecify.annotations.NullMarked;
