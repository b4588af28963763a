package org.cellherd.pile;

import org.cellherd.pack.Worded;

/** What the eye or the hand found; any of these keeps a unit out of every pack. */
enum Damage implements Worded {
  /** Grown thicker. */
  SWOLLEN,
  /** Was in water, or is damp. */
  WET,
  /** Dented or crushed. */
  DENTED,
  /** Pierced. */
  PUNCTURED,
  /** Was hot without a current. */
  HOT,
  /** Electrolyte came out, or can be smelt. */
  LEAKED
}
