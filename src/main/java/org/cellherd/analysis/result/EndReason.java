package org.cellherd.analysis.result;

import org.cellherd.pack.Worded;

/** What ended a discharge. */
public enum EndReason implements Worded {
  /** A cell reached the cut-off of its chemistry. */
  CUT_OFF,
  /** The board opened at its own low limit. */
  BOARD_LIMIT,
  /** The load was taken off with a cell at or below the low warning level, short of the cut-off. */
  STOPPED_LOW,
  /** The load was taken off with charge left; the rest was estimated from the resting voltage. */
  STOPPED_EARLY;

  @Override
  public String word() {
    return Underscored.word(this);
  }
}
