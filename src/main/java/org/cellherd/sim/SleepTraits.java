package org.cellherd.sim;

/**
 * When a board stops answering to save power.
 *
 * @param afterS after so long without current; infinite never
 * @param wakeA wakes by more current than this, which also is what it takes for none
 */
record SleepTraits(double afterS, double wakeA) {
  /** A board that never sleeps. */
  public static final SleepTraits NEVER = new SleepTraits(Double.POSITIVE_INFINITY, 0.2);
}
