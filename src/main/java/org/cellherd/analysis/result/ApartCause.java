package org.cellherd.analysis.result;

import org.cellherd.pack.Worded;

/** Why the cells of a pack are apart. */
public enum ApartCause implements Worded {
  /** The log does not tell. */
  UNKNOWN,
  /** A cell holds more or less charge than the others: balancing mends it. */
  CHARGE_DIFFERENCE,
  /** A cell has the least capacity. */
  LOW_CAPACITY,
  /** A cell, or the strap within its sense wires, has too much resistance. */
  RESISTANCE,
  /** A cell discharges itself faster than the others. */
  LEAKING,
  /** A sense wire reads wrong. */
  WIRING;

  @Override
  public String word() {
    return Underscored.word(this);
  }
}
