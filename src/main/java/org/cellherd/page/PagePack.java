package org.cellherd.page;

import org.cellherd.pack.PackPlan;
import org.cellherd.report.plot.BalancedBand;

/**
 * A pack of the page.
 *
 * @param plan the builder's plan
 * @param validMs a reading older than this is stale, ms
 * @param band in which the cells of a balanced pack lie
 */
public record PagePack(PackPlan plan, long validMs, BalancedBand band) {

  /** Polls that may fail before a reading counts as stale. */
  private static final int MISSED_POLLS = 3;

  private static final long LEAST_MS = 10_000;

  /** A pack that is polled every so many ms. */
  public static PagePack polledEvery(PackPlan plan, long pollMs) {
    return new PagePack(plan, Math.max(LEAST_MS, MISSED_POLLS * pollMs), BalancedBand.USUAL);
  }

  /** The same with the band of the pack's settings. */
  public PagePack with(BalancedBand other) {
    return new PagePack(plan, validMs, other);
  }
}
