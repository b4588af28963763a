package org.cellherd.analysis.moment;

import java.util.Arrays;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Ring;

/**
 * How fast this log's readings follow each other, and when a longer step is a gap: more than three
 * usual steps and more than 10 s (common practice, no source). The usual step is the median of the
 * last nine, so that a log of one reading a minute is as good as one of one a second.
 */
public final class SeriesPace {
  private static final int KEPT = 9;
  private static final long LEAST_GAP_MS = 10_000;

  private final long[] steps = new long[KEPT];
  private final long[] sorted = new long[KEPT];
  private final Ring ring = new Ring(KEPT);

  /** Takes in how long a reading came after the one before it, ms. */
  public void accept(long stepMs) {
    steps[ring.next()] = stepMs;
  }

  /** True when a step is so long that something is missing within it. */
  public boolean isGap(long stepMs) {
    return stepMs > LEAST_GAP_MS && stepMs > 3 * usualMs();
  }

  /** The usual step, ms; 0 before the second reading. */
  long usualMs() {
    int count = ring.size();
    if (count == 0) {
      return 0;
    }
    System.arraycopy(steps, 0, sorted, 0, count);
    Arrays.sort(sorted, 0, count);
    return sorted[count / 2];
  }

  void state(State io) {
    io.each(steps);
    ring.state(io);
  }
}
