package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.moment.SeriesPace;

/**
 * When a pack was heard, and the holes between, also where the log names no gap, as after an
 * import: what is a gap to the analyses is a hole here. Times come in order; what lies before the
 * newest is known already. One thread.
 */
final class HeardTimes {

  private final List<Tracks.Span> holes = new ArrayList<>();
  private final SeriesPace pace = new SeriesPace();
  private long firstMs = Long.MAX_VALUE;
  private long lastMs = Long.MIN_VALUE;

  /** A single reading. */
  void at(long ms) {
    if (lastMs != Long.MIN_VALUE && ms > lastMs) {
      if (pace.isGap(ms - lastMs)) {
        holes.add(new Tracks.Span(lastMs, ms));
      }
      pace.accept(ms - lastMs);
    }
    reach(ms, ms);
  }

  /** A stretch of which there are statistics: what lies between two stretches was not heard. */
  void between(long fromMs, long toMs) {
    if (lastMs != Long.MIN_VALUE && fromMs > lastMs) {
      holes.add(new Tracks.Span(lastMs, fromMs));
    }
    reach(fromMs, toMs);
  }

  private void reach(long fromMs, long toMs) {
    firstMs = Math.min(firstMs, fromMs);
    lastMs = Math.max(lastMs, toMs);
  }

  /** True when anything was heard. */
  boolean isAny() {
    return firstMs <= lastMs;
  }

  long firstMs() {
    return firstMs;
  }

  long lastMs() {
    return lastMs;
  }

  List<Tracks.Span> holes() {
    return List.copyOf(holes);
  }
}
