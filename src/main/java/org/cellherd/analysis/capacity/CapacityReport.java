package org.cellherd.analysis.capacity;

import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.flow.CurrentError;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;

/** Writes a test up and remembers it for the comparison with the next. Belongs to one thread. */
final class CapacityReport {
  private final PackPlan plan;
  private final Moment moment;
  private final TestHistory history = new TestHistory();
  private final LastTop top;

  CapacityReport(PackPlan plan, Moment moment) {
    this.plan = plan;
    this.moment = moment;
    top = new LastTop(plan.series(), plan.ratedAh());
  }

  /** A full charge has ended. */
  void fullCharge(Facts facts) {
    top.take(facts);
  }

  /**
   * Writes a discharge up.
   *
   * @param current how far the board's current may be off
   */
  Finding of(Discharge d, Measurement measured, EndReason reason, CurrentError current) {
    Optional<SeriesString> string = measured.ah().flatMap(ah -> UsableCapacity.string(d, top, ah));
    Limit limit = Limit.of(string, plan.ratedAh());
    Optional<CapacityTest> test = measured.ah().map(ah -> test(d, measured, limit));
    Facts.Builder facts = Facts.of();
    long from = moment.wallMs(d.startUpMs());
    long to = moment.wallMs(d.lastUpMs());
    facts.putTime("from", from).putTime("to", to);
    amounts(facts, d, measured.ah());
    errors(facts, measured, current);
    conditions(facts, d, reason);
    facts.put("reason", measured.reason().isEmpty() ? null : measured.reason());
    test.ifPresent(now -> compare(facts, now));
    test.ifPresent(history::add);
    if (test.isPresent()) {
      facts.put("limited_by", limit == Limit.UNKNOWN ? null : limit.word());
      usable(facts, d, string, test.get().ah());
    }
    Facts built = facts.build();
    return ResultForm.finding(
        FindingName.CAPACITY, from, to, built, CapacitySentence.of(built, plan.ratedAh()));
  }

  private static CapacityTest test(Discharge d, Measurement measured, Limit limit) {
    return new CapacityTest(
        d.lastUpMs(),
        measured.ah().orElseThrow(),
        measured.unsureAh(),
        d.meanA(),
        d.meanTempC(),
        d.endMv(),
        d.startKind(),
        d.topCell(),
        d.endCell(),
        limit);
  }

  private void amounts(Facts.Builder facts, Discharge d, Optional<Interval> ah) {
    double mid = ah.map(Interval::mid).orElse(Double.NaN);
    double grown = Double.isNaN(mid) ? Double.NaN : mid / d.ah();
    boolean hasTerminals = !Double.isNaN(d.terminalWh());
    double whPerAh = (hasTerminals ? d.terminalWh() : d.wh()) / d.ah();
    facts
        .put("ah", mid, 3)
        .putLow("ah_low", ah.map(Interval::low).orElse(Double.NaN), 3)
        .putHigh("ah_high", ah.map(Interval::high).orElse(Double.NaN), 3)
        .put("wh", (hasTerminals ? d.terminalWh() : d.wh()) * grown, 2)
        .putLow("wh_low", whPerAh * ah.map(Interval::low).orElse(Double.NaN), 2)
        .putHigh("wh_high", whPerAh * ah.map(Interval::high).orElse(Double.NaN), 2)
        .put("wh_of_cells", d.wh() * grown, 2)
        .put("wh_by", hasTerminals ? "pack_voltage" : "cells")
        .put("rated_pct", 100 * mid / plan.ratedAh(), 1)
        .put("mean_current_a", d.meanA(), 3)
        .put("c_rate", d.meanA() / plan.ratedAh(), 3)
        .put("drawn_ah", d.ah(), 3);
  }

  private static void errors(Facts.Builder facts, Measurement measured, CurrentError current) {
    Interval gain = current.gain();
    facts
        .put("rest_current_a", current.printedAtRestA().orElse(Double.NaN), 3)
        .putLow("offset_ah_low", measured.offsetAh().low(), 3)
        .putHigh("offset_ah_high", measured.offsetAh().high(), 3)
        .putHigh("gain_pct", 50 * (gain.high() - gain.low()), 1)
        .put("metered", current.isMetered());
  }

  private void conditions(Facts.Builder facts, Discharge d, EndReason reason) {
    facts
        .put("start_kind", d.startKind().word())
        .put("end_reason", reason.word())
        .put("limiting_cell", d.endCell())
        .put("end_spread_mv", d.endSpreadMv(), 1)
        .put("mean_temp_c", d.meanTempC(), 1)
        .put("coverage_pct", d.coveragePct(), 2)
        .put("end_mv", d.endMv(), 1)
        .put("end_lag_mv", d.endLagMv(), 1)
        .put("mean_v", d.wh() / d.ah(), 3)
        .put("rest_minutes", d.restMs() / 60_000.0, 0)
        .put("partial", reason == EndReason.STOPPED_EARLY);
  }

  private void compare(Facts.Builder facts, CapacityTest now) {
    OptionalDouble atRoom = AtRoomTemperature.ah(now.ah().mid(), now.tempC());
    facts.put("ah_at_25c", atRoom, 3);
    history.withFirst(now).ifPresent(c -> facts.put("since_first", facts(c)));
    history.withPrevious(now).ifPresent(c -> facts.put("since_previous", facts(c)));
    history.atAnotherRate(now).ifPresent(c -> facts.put("other_rate", facts(c)));
  }

  private Facts facts(Comparison comparison) {
    return comparison.facts(moment.wallMs(comparison.before().upMs()), plan.ratedAh());
  }

  /**
   * Why one cell ends the discharge: by what each cell holds as far as the charge before and the
   * end tell, else by three tests alike.
   */
  private void usable(
      Facts.Builder facts, Discharge d, Optional<SeriesString> string, Interval ah) {
    string.ifPresentOrElse(
        s -> facts.put("usable", UsableCapacity.facts(s, ah)), () -> facts.putUnknown("usable"));
    String cause = string.map(s -> s.why(d.endCell())).orElse("");
    int lowest = history.alwaysLowest();
    if (!cause.isEmpty()) {
      facts.put("weak_cell", d.endCell()).put("weak_cause", cause);
    } else if (lowest != 0) {
      boolean isSmall = history.alwaysHighest() == lowest;
      facts
          .put("weak_cell", lowest)
          .put("weak_cause", isSmall ? "low_capacity" : "low_charge_or_capacity");
    }
  }

  void state(State io) {
    history.state(io);
    top.state(io);
  }
}
