package org.cellherd.analysis.result;

import org.cellherd.pack.Worded;

/** Why one cell ends each discharge. */
public enum WeakCause implements Worded {
  /** It holds less than the others: balancing does not help. */
  LOW_CAPACITY,
  /** It was less full than the others: balancing helps. */
  LOW_CHARGE,
  /** One of these. */
  LOW_CHARGE_OR_CAPACITY;

  @Override
  public String word() {
    return Underscored.word(this);
  }
}
