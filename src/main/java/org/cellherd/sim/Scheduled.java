package org.cellherd.sim;

/**
 * A fault and its time.
 *
 * @param pack index of the pack it concerns, from 0
 * @param fromMs begins, ms UTC
 * @param toMs is over, ms UTC; {@link Long#MAX_VALUE} never
 * @param fault what goes wrong
 */
record Scheduled<F>(int pack, long fromMs, long toMs, F fault) {

  /** True from its beginning until before its end. */
  public boolean covers(long timeMs) {
    return timeMs >= fromMs && timeMs < toMs;
  }
}
