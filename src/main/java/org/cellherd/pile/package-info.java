/**
 * Cells before they are a pack: what a builder knows of each unit of a pile. {@link
 * org.cellherd.pile.Triage} says for each: use, measure again, or do not use, with reasons and
 * numbers, what is missing, and what to measure next; {@code match} arranges those to use into
 * groups. Pure computation: no input or output, no clock, no threads. Entry: {@link
 * org.cellherd.pile.CellsFile}.
 *
 * <p>A <em>unit</em> is what cannot be parted: one cell, two welded pouches, a bolted string.
 */
@NullMarked
package org.cellherd.pile;

import org.jspecify.annotations.NullMarked;
