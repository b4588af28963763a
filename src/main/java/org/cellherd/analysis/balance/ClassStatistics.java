package org.cellherd.analysis.balance;

import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import org.cellherd.analysis.moment.FrameClass;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.BalanceResult.Spread;
import org.cellherd.analysis.result.BalanceResult.SpreadByClass;
import org.cellherd.analysis.state.State;

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

  SpreadByClass all() {
    return new SpreadByClass(
        spread(FrameClass.UNKNOWN),
        spread(FrameClass.REST),
        spread(FrameClass.HOLD),
        spread(FrameClass.CHARGE_PLATEAU),
        spread(FrameClass.UPPER_KNEE),
        spread(FrameClass.DISCHARGE),
        spread(FrameClass.LOWER_KNEE),
        spread(FrameClass.IDLE));
  }

  private Optional<Spread> spread(FrameClass frameClass) {
    SpreadSeries s = get(frameClass);
    return s.count() == 0
        ? Optional.empty()
        : Optional.of(new Spread(s.count(), s.mean(), s.deviation(), s.max(), s.recent()));
  }

  void state(State io) {
    series.values().forEach(s -> s.state(io));
  }
}
