package org.cellherd.analysis.result;

import org.cellherd.pack.Worded;

/** Which voltage an energy was counted with. */
public enum WhBy implements Worded {
  /** Nobody told. */
  UNKNOWN,
  /** At the terminals. */
  PACK_VOLTAGE,
  /** The sum of the cells. */
  CELLS;

  @Override
  public String word() {
    return Underscored.word(this);
  }
}
