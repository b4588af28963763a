package org.cellherd.app.campaign.books;

/**
 * One life of the program, by the true time.
 *
 * @param fromMs its start, ms UTC
 * @param toMs its end, ms UTC
 * @param wasKilled whether it had no time to write
 * @param isDamaging whether its files were harmed while it ran or behind it
 * @param text all that it printed
 */
public record Run(long fromMs, long toMs, boolean wasKilled, boolean isDamaging, String text) {

  /** From the start of a process to its first poll and commit. */
  static final long START_MS = 6_000;

  /** What may be at risk, the reading under way and a commit that takes a while. */
  private static final long AT_RISK_MS = 13_000;

  /** A reading under way at an end in order. */
  private static final long UNDER_WAY_MS = 2_500;

  boolean holds(long ms) {
    return ms >= fromMs && ms <= toMs;
  }

  boolean mayLose(long ms) {
    return ms > toMs - (wasKilled ? AT_RISK_MS : UNDER_WAY_MS);
  }
}
