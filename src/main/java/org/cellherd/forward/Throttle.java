package org.cellherd.forward;

/** So many bytes a second, with a second's worth saved up at most. One thread. */
final class Throttle {

  private final long bytesPerS;
  private double saved;
  private long atNanos;
  private boolean isBegun;

  Throttle(int kbPerS) {
    this.bytesPerS = kbPerS * 1_000L;
    this.saved = bytesPerS;
  }

  /** How long to wait before more may be sent, ns; 0 for now. */
  long restNanos(long nowNanos) {
    if (isBegun) {
      saved = Math.min((double) bytesPerS, saved + (nowNanos - atNanos) / 1e9 * bytesPerS);
    }
    isBegun = true;
    atNanos = nowNanos;
    return saved > 0 ? 0 : (long) (-saved * 1e9 / bytesPerS) + 1_000_000;
  }

  void sent(long bytes) {
    saved -= bytes;
  }
}
