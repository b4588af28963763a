package org.cellherd.pile;

import org.cellherd.pack.Worded;

/** What to do with a unit, mildest first. None of them says that a unit does no harm. */
public enum UnitVerdict implements Worded {
  /** Nothing measured speaks against it. */
  USE,
  /** Something is missing or stands out; a measurement decides. */
  MEASURE_AGAIN,
  /** Keep it out of every pack. */
  DO_NOT_USE;

  /** The word with blanks. */
  public String words() {
    return word().replace('-', ' ');
  }

  /** The graver of two. */
  UnitVerdict and(UnitVerdict other) {
    return compareTo(other) >= 0 ? this : other;
  }
}
