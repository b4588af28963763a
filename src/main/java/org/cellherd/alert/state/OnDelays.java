package org.cellherd.alert.state;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.state.State;

/** The on-delay of each level; they run side by side. */
final class OnDelays {
  private final Timing timing;
  private final List<Delay> delays = new ArrayList<>();

  OnDelays(Timing timing) {
    this.timing = timing;
    timing.levels().forEach(l -> delays.add(new Delay()));
  }

  /** The condition holds up to a level; returns the worst level whose delay has passed, or 0. */
  int advance(int holds, long creditMs) {
    int ready = 0;
    for (int level = 1; level <= delays.size(); level++) {
      Delay delay = delays.get(level - 1);
      if (level > holds) {
        delay.reset();
        continue;
      }
      delay.hold(creditMs);
      if (delay.isOver(timing.levels().get(level - 1).onDelayMs(), timing.leastSamples())) {
        ready = level;
      }
    }
    return ready;
  }

  void reset() {
    delays.forEach(Delay::reset);
  }

  void state(State io) {
    delays.forEach(d -> d.state(io));
  }
}
