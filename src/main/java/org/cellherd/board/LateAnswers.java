package org.cellherd.board;

import java.util.OptionalLong;

/**
 * Questions to one board that were given up. A board slower than our patience answers them later:
 * its answer to the first is taken for that to the second, and the second's own would pass for the
 * answer to whatever is asked next. So nothing is asked until they must all have come. One thread.
 */
final class LateAnswers {
  private static final long MARGIN_NANOS = 100_000_000L;

  /** A board slower than this is past help. */
  private static final long LONGEST_NANOS = 3_000_000_000L;

  private OptionalLong askedNanos = OptionalLong.empty();

  /** A question asked at this time was given up without a byte of an answer. */
  void gaveUp(long at) {
    askedNanos = askedNanos.isPresent() ? askedNanos : OptionalLong.of(at);
  }

  /** How long answers may still come, ns, now that one was taken; they are forgotten with this. */
  long toComeNanos(long now) {
    if (askedNanos.isEmpty()) {
      return 0;
    }
    // If what came now answers the first question, the last one's answer takes no longer.
    long delay = now - askedNanos.getAsLong() + MARGIN_NANOS;
    askedNanos = OptionalLong.empty();
    return Math.min(LONGEST_NANOS, delay);
  }
}
