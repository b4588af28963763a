package org.cellherd.analysis.moment;

import org.cellherd.pack.Worded;

/** What kind of moment a reading shows; spread means something else in each. */
public enum Phase implements Worded {
  /** Not enough is known. */
  UNKNOWN,
  /** No current beyond the dead zone for 30 min and more, below the hold level or relaxing. */
  REST,
  /** Held at the top: highest cell at the knee or above, current in the dead zone, not relaxing. */
  HOLD,
  CHARGE_PLATEAU,
  /** Charging, highest cell at the knee or above. */
  UPPER_KNEE,
  DISCHARGE,
  /** Lowest cell in the lower knee. */
  LOWER_KNEE,
  /** No current, but not long enough for a rest. */
  IDLE;

  /** True where a board is asked at the fastest: cells move within seconds there. */
  public boolean isAskedFast() {
    return this == UPPER_KNEE || this == LOWER_KNEE || this == HOLD;
  }
}
