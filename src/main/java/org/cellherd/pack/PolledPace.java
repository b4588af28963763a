package org.cellherd.pack;

import java.util.List;

/**
 * How often a board is heard that is asked faster at times: each of its two polls has a pace of its
 * own. One that is hardly known is bounded by the other one, brought to its mean: a line that loses
 * answers at one poll does so at the other. One thread.
 */
public final class PolledPace {
  private final Pace slow = new Pace();
  private final Pace fast = new Pace();

  private Pace of(boolean isFast) {
    return isFast ? fast : slow;
  }

  /**
   * Takes the time between two readings, ms.
   *
   * @param isFast true when the second was asked for at the fast poll
   */
  public void add(long intervalMs, boolean isFast) {
    of(isFast).add(intervalMs);
  }

  /** True when enough was heard to tell. */
  public boolean isKnown() {
    return slow.isKnown() || fast.isKnown();
  }

  /** {@link Pace#doubt} of all that was heard. */
  public double doubt() {
    return slow.doubt(fast.count());
  }

  /**
   * The board's own pace at one of its polls, ms.
   *
   * @param statedMs the time between two readings as long as too little was heard
   * @param askedMs the time between two questions: shorter than that at the fast poll
   * @param lostMs so long a lost answer is waited for
   */
  public long usualMs(long statedMs, long askedMs, long lostMs) {
    boolean isFast = askedMs < statedMs;
    Pace own = of(isFast);
    Pace other = of(!isFast);
    if (!own.isKnown()) {
      return Math.max(askedMs, other.usualMs(statedMs));
    }
    long usual = own.usualMs(askedMs);
    if (own.isSettled() || !other.isKnown()) {
      return usual;
    }
    double missed = other.usualMs(0) / other.meanMs() - 1;
    double mean = own.meanMs();
    return Math.max(usual, Math.round(mean + missed * Math.max(mean, (double) lostMs)));
  }

  /** What is known of the slow poll and of the fast one, for a snapshot. */
  public List<Pace> both() {
    return List.of(slow, fast);
  }
}
