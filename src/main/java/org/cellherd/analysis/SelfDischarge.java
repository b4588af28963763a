package org.cellherd.analysis;

/**
 * By how much more than the others a sound cell may discharge itself. Cell sheets allow up to about
 * 3 to 5 % a month (from memory); the median cell loses 1 % or so of that itself, and what a log
 * shows is the difference: 3 % a month, 0.041 mA for each rated Ah. Less is no fault of a cell.
 */
public final class SelfDischarge {
  private static final double SHARE_PER_MONTH = 0.03;
  private static final double HOURS_PER_MONTH = 365.25 * 24 / 12;

  private SelfDischarge() {}

  /** The most that a sound cell loses beyond the median cell, mA. */
  public static double soundMa(double ratedAh) {
    return SHARE_PER_MONTH * ratedAh * 1000 / HOURS_PER_MONTH;
  }
}
