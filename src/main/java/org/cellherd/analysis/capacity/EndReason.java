package org.cellherd.analysis.capacity;

import java.util.Locale;

/** What ended a discharge. */
enum EndReason {
  /** A cell reached the cut-off of its chemistry. */
  CUT_OFF,
  /** The board opened at its own low limit. */
  BOARD_LIMIT,
  /** The load was taken off with a cell at or below the low warning level, short of the cut-off. */
  STOPPED_LOW,
  /** The load was taken off with charge left; the rest was estimated from the resting voltage. */
  STOPPED_EARLY;

  /** The word used outside. */
  String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
