package org.cellherd.analysis;

import java.util.Locale;
import org.cellherd.pack.Worded;

/** How a charge ended. */
public enum ChargeTermination implements Worded {
  /** The log has not shown a full pack yet. */
  NONE,
  /** Current fell to the tail current at the charge voltage: full. */
  TAIL,
  /** The first cell reached the board's limit: the pack takes no more as it is. */
  FIRST_CELL,
  /** The charger stopped at the charge voltage before the tail current: nearly full. */
  ABSORB_TIMER,
  /** The log does not show the charge, but its first voltages at rest are those of a full pack. */
  UNKNOWN;

  @Override
  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
