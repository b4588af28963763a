package org.cellherd.analysis.balance;

import java.util.EnumMap;
import java.util.Map;
import org.cellherd.analysis.moment.FrameClass;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;

/**
 * Spread kept apart by class of moment: 5 mV at rest on the plateau say nothing, 5 mV in the knee
 * say balanced.
 */
final class ClassStatistics {
  private final Map<FrameClass, SpreadSeries> series = new EnumMap<>(FrameClass.class);

  ClassStatistics(int cells) {
    for (FrameClass frameClass : FrameClass.values()) {
      series.put(frameClass, new SpreadSeries(cells));
    }
  }

  void accept(Moment m) {
    if (m.spread() != Moment.MISSING && m.isJoined()) {
      get(m.frameClass()).add(m.spread() / 10.0, m.stepMs());
    }
  }

  void acceptMinute(FrameClass frameClass, MinuteBlock minute) {
    get(frameClass).addMinute(minute);
  }

  SpreadSeries get(FrameClass frameClass) {
    SpreadSeries found = series.get(frameClass);
    if (found == null) {
      throw new IllegalStateException("no statistics of " + frameClass);
    }
    return found;
  }

  /** One entry a class that was seen. */
  Facts facts() {
    Facts.Builder all = Facts.of();
    series.forEach(
        (frameClass, s) -> {
          if (s.count() > 0) {
            all.put(
                frameClass.word(),
                Facts.of()
                    .put("readings", s.count())
                    .put("mean_mv", s.mean(), 1)
                    .put("sd_mv", s.deviation(), 1)
                    .put("max_mv", s.max(), 1)
                    .put("recent_mv", s.recent(), 1)
                    .build());
          }
        });
    return all.build();
  }

  void state(State io) {
    series.values().forEach(s -> s.state(io));
  }
}
