package org.cellherd.app.campaign.books;

import java.time.Instant;
import java.util.List;
import java.util.Locale;

/**
 * Readings in a row that a board sent and the log lost to damage.
 *
 * @param fromMs time by the log's clock of the reading before them, {@link Long#MIN_VALUE} for none
 * @param toMs of the reading behind them, {@link Long#MAX_VALUE} for none
 * @param readings how many
 * @param paceMs between two readings: by so much they lie inside of the two around them
 */
record Lost(long fromMs, long toMs, int readings, long paceMs) {

  /** A commit that was under way when the run ended; no more than that may go unsaid. */
  private static final int FEW = 13;

  /** What the program said of it. */
  enum Said {
    NUMBER,
    SPAN,
    NOTHING
  }

  /**
   * Compares it with all that the program said about the pack.
   *
   * <p>A number is right within a fifth and a few: it is reckoned by the pace around the loss, and
   * polls that a line fault swallowed are counted in it.
   */
  Said said(List<ToldLoss> all) {
    long told =
        all.stream().filter(t -> t.isInside(fromMs, toMs)).mapToLong(ToldLoss::readings).sum();
    if (told > 0 && Math.abs(told - readings) <= FEW + readings / 5) {
      return Said.NUMBER;
    }
    boolean isSpan = all.stream().anyMatch(t -> t.tells(fromMs, toMs, paceMs));
    return isSpan || readings <= FEW ? Said.SPAN : Said.NOTHING;
  }

  @Override
  public String toString() {
    return String.format(Locale.ROOT, "%,d readings from %s to %s", readings, at(fromMs), at(toMs));
  }

  private static String at(long ms) {
    return ms == Long.MIN_VALUE
        ? "the beginning"
        : ms == Long.MAX_VALUE ? "the end" : Instant.ofEpochMilli(ms).toString();
  }
}
