package org.cellherd.mqtt.link;

/**
 * How long a link waits for what; real time.
 *
 * @param keepAliveS seconds; a dead line is noticed within twice as long
 * @param connectMs for TCP, TLS and the broker's answer together
 * @param acknowledgeMs for the broker's acknowledgement of one message
 * @param firstRetryMs after the first failed attempt; doubles with each further one
 * @param mostRetryMs the longest pause between attempts
 */
public record LinkTiming(
    int keepAliveS, long connectMs, long acknowledgeMs, long firstRetryMs, long mostRetryMs) {

  /** Keep-alive 20 s, 15 s to connect, 30 s to acknowledge, retries after 1 s to 60 s. */
  public static final LinkTiming DEFAULT = new LinkTiming(20, 15_000, 30_000, 1_000, 60_000);

  /** Refuses what would never end or never rest. */
  public LinkTiming {
    if (keepAliveS < 1
        || keepAliveS > 3_600
        || connectMs < 1_000
        || acknowledgeMs < 1
        || firstRetryMs < 1
        || mostRetryMs < firstRetryMs) {
      throw new IllegalArgumentException(
          "times out of range: keep-alive " + keepAliveS + " s, connect " + connectMs + " ms");
    }
  }

  /** Pause before attempt {@code failures + 1}, ms. */
  long retryMs(int failures) {
    int doublings = Math.min(Math.max(failures - 1, 0), 20);
    return Math.min(mostRetryMs, firstRetryMs << doublings);
  }
}
