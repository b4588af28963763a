package org.cellherd.analysis.balance;

import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.result.BalanceResult.Spread;
import org.cellherd.analysis.result.BalanceResult.SpreadByClass;
import org.cellherd.analysis.state.State;

/**
 * Spread kept apart by phase: 5 mV at rest on the plateau say nothing, 5 mV in the knee say
 * balanced.
 */
final class PhaseStatistics {
  private final Map<Phase, SpreadSeries> series = new EnumMap<>(Phase.class);

  PhaseStatistics(int cells) {
    for (Phase phase : Phase.values()) {
      series.put(phase, new SpreadSeries(cells));
    }
  }

  void accept(Moment m) {
    if (m.spread() != Moment.MISSING && m.isJoined()) {
      get(m.phase()).add(m.spread() / 10.0, m.stepMs());
    }
  }

  void acceptMinute(Phase phase, MinuteBlock minute) {
    get(phase).addMinute(minute);
  }

  SpreadSeries get(Phase phase) {
    SpreadSeries found = series.get(phase);
    if (found == null) {
      throw new IllegalStateException("no statistics of " + phase);
    }
    return found;
  }

  SpreadByClass all() {
    return new SpreadByClass(
        spread(Phase.UNKNOWN),
        spread(Phase.REST),
        spread(Phase.HOLD),
        spread(Phase.CHARGE_PLATEAU),
        spread(Phase.UPPER_KNEE),
        spread(Phase.DISCHARGE),
        spread(Phase.LOWER_KNEE),
        spread(Phase.IDLE));
  }

  private Optional<Spread> spread(Phase phase) {
    SpreadSeries s = get(phase);
    return s.count() == 0
        ? Optional.empty()
        : Optional.of(new Spread(s.count(), s.mean(), s.deviation(), s.max(), s.recent()));
  }

  void state(State io) {
    series.values().forEach(s -> s.state(io));
  }
}
