package org.cellherd.analysis.ageing;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.result.AgeingResult.Depth;
import org.cellherd.analysis.state.State;

/** Cycles of the state of charge by depth, in bins of 5 %; counted in halves. One thread. */
final class CycleHistogram implements Rainflow.Cycles {
  private static final int BINS = 20;
  private static final int WIDTH_PCT = 5;

  private final long[] halves = new long[BINS];

  @Override
  public void cycle(double range, double mean, double count) {
    int bin = (int) Math.max(0, Math.min(BINS - 1, Math.ceil(range / WIDTH_PCT) - 1));
    halves[bin] += Math.round(count * 2);
  }

  /** Depth of the cycles, the deep ones weighing more, 0 to 1; NaN without any. */
  double meanDepth() {
    double weighted = 0;
    double weight = 0;
    for (int i = 0; i < BINS; i++) {
      double depth = (i + 0.5) * WIDTH_PCT / 100;
      weighted += halves[i] * depth * depth;
      weight += halves[i] * depth;
    }
    return weight > 0 ? weighted / weight : Double.NaN;
  }

  List<Depth> depths() {
    List<Depth> rows = new ArrayList<>();
    for (int i = 0; i < BINS; i++) {
      if (halves[i] > 0) {
        rows.add(new Depth((i + 1) * WIDTH_PCT, halves[i] / 2.0));
      }
    }
    return rows;
  }

  void state(State io) {
    io.each(halves);
  }
}
