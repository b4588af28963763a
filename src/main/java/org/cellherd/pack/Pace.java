package org.cellherd.pack;

import java.util.Arrays;
import java.util.List;

/**
 * How often a board is heard, learnt from the time between its latest readings: about the longest
 * of 500, so that a board that speaks irregularly, or of which every fifth reading is missing, is
 * not called silent, and two long silences do not teach patience. One thread.
 */
public final class Pace {

  /**
   * Of a board that loses every fifth reading, eight of so many intervals span three losses in a
   * row; three times the third longest is then ten losses in a row, once in 10 million readings.
   */
  public static final int KEPT = 1024;

  /**
   * No board is waited for as if it spoke less often than this, ms: one that speaks once a minute
   * and loses every fifth reading has four losses in a row once in 600 readings.
   */
  public static final long LONGEST_MS = 300_000;

  /** Before the third interval nothing is known. */
  private static final int LEAST = 3;

  /** Of a board that loses every fifth reading, 93 of 100 have lost two in a row after so many. */
  private static final int SETTLED = 64;

  /** Three times the longest of 15 intervals comes once in 4,096 times. */
  private static final double LOG_OF_KNOWN = Math.log(16);

  /** Of fewer intervals the longest is taken, of fewer than twice as many the second longest. */
  private static final int FEW = 256;

  /** What was called silence teaches no more patience than it took to call it so. */
  private static final int SILENCE = 3;

  private final int[] intervals = new int[KEPT];
  private int count;
  private int next;
  private long sum;
  private long usual;

  /** Takes the time between two readings, ms. */
  public void add(long intervalMs) {
    long most = isKnown() ? Math.min(LONGEST_MS, SILENCE * usual) : LONGEST_MS;
    int now = (int) Math.max(1, Math.min(most, intervalMs));
    int gone = intervals[next];
    keep(now);
    boolean isSame = count == KEPT && (gone == now || Math.max(gone, now) < usual);
    usual = isSame ? usual : longest();
  }

  private void keep(int intervalMs) {
    sum += intervalMs - intervals[next];
    intervals[next] = intervalMs;
    next = (next + 1) % KEPT;
    count = Math.min(KEPT, count + 1);
  }

  /** The longest interval kept, the second or the third, by how many there are. */
  private long longest() {
    long first = 0;
    long second = 0;
    long third = 0;
    for (int i = 0; i < count; i++) {
      long each = intervals[i];
      if (each > third) {
        third = Math.min(each, second);
        second = each > second ? Math.min(each, first) : second;
        first = Math.max(each, first);
      }
    }
    return count < FEW ? first : count < 2 * FEW ? second : third;
  }

  /** True when enough was heard to tell. */
  public boolean isKnown() {
    return count >= LEAST;
  }

  /** The same where so many intervals are known besides. */
  double doubt(int others) {
    return LOG_OF_KNOWN / Math.log1p(Math.max(LEAST, count + others));
  }

  int count() {
    return count;
  }

  /** The mean of the intervals kept, ms; only where there are some. */
  double meanMs() {
    return (double) sum / count;
  }

  /** True when it is known without what else is stated. */
  boolean isSettled() {
    return count >= SETTLED;
  }

  /** The board's own pace, ms; what the config states as long as too little was heard. */
  public long usualMs(long statedMs) {
    if (!isKnown()) {
      return statedMs;
    }
    return !isSettled() ? Math.max(statedMs, usual) : usual;
  }

  /** The intervals kept, oldest first, ms: for {@link #restore}. */
  public long[] kept() {
    long[] kept = new long[count];
    for (int i = 0; i < count; i++) {
      kept[i] = intervals[Math.floorMod(next - count + i, KEPT)];
    }
    return kept;
  }

  /** Knows what another one knew. */
  public void restore(long[] kept) {
    count = 0;
    next = 0;
    sum = 0;
    Arrays.fill(intervals, 0);
    for (long each : kept) {
      keep((int) each);
    }
    usual = longest();
  }

  /**
   * How often a board is heard that is asked faster at times: each of its two polls has a pace of
   * its own. One that is hardly known is bounded by the other one, brought to its mean: a line that
   * loses answers at one poll does so at the other. One thread.
   */
  public static final class Polled {
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
}
