package org.cellherd.alert.state;

import org.cellherd.analysis.state.State;

/** Time for which something held without a break; moments without data do not count. */
final class Delay {
  private long elapsedMs;
  private int samples;

  /** It holds at this moment; the credit counts from the second moment on. */
  void hold(long creditMs) {
    elapsedMs = samples == 0 ? 0 : elapsedMs + creditMs;
    samples = Math.min(samples + 1, Timing.LIVE_SAMPLES);
  }

  void reset() {
    elapsedMs = 0;
    samples = 0;
  }

  boolean isOver(long delayMs, int leastSamples) {
    return samples >= leastSamples && samples > 0 && elapsedMs >= delayMs;
  }

  void state(State io) {
    elapsedMs = io.number(elapsedMs);
    samples = io.number(samples);
  }
}
