package org.cellherd.sim;

/**
 * A time during which a cell really was beyond a limit of its plan.
 *
 * @param cell from 1
 * @param level which limit
 * @param fromMs first instant beyond it, ms UTC
 * @param toMs last instant beyond it so far, ms UTC
 * @param extremeV farthest voltage reached, V
 */
public record Exceedance(int cell, Level level, long fromMs, long toMs, double extremeV) {

  /** Which limit. */
  public enum Level {
    /** Above the voltage that must never be passed. */
    OVER,
    /** At or above the warning. */
    HIGH,
    /** At or below the warning. */
    LOW,
    /** Below the voltage that must never be passed. */
    UNDER
  }
}
