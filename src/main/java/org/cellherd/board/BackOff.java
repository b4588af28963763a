package org.cellherd.board;

/** How long to wait before the next try: 0.5 s, doubled each time, at most 30 s. One thread. */
final class BackOff {
  private static final long FIRST_NANOS = 500_000_000L;
  private static final long LONGEST_NANOS = 30_000_000_000L;

  private long next = FIRST_NANOS;

  /** The wait after one more failure, ns. */
  long afterFailure() {
    long now = next;
    next = Math.min(LONGEST_NANOS, next * 2);
    return now;
  }

  void reset() {
    next = FIRST_NANOS;
  }
}
