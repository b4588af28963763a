package org.cellherd.analysis.capacity;

import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.AtRoomTemperature;
import org.cellherd.analysis.flow.CurrentError;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.CapacityResult.Compared;
import org.cellherd.analysis.result.CapacityResult.Conditions;
import org.cellherd.analysis.result.CapacityResult.EndReason;
import org.cellherd.analysis.result.CapacityResult.Energy;
import org.cellherd.analysis.result.CapacityResult.Limit;
import org.cellherd.analysis.result.CapacityResult.Sensor;
import org.cellherd.analysis.result.CapacityResult.WeakCause;
import org.cellherd.analysis.result.CapacityResult.WhBy;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;

/** Writes a test up and remembers it for the comparison with the next. Belongs to one thread. */
final class CapacityReport {
  private final PackPlan plan;
  private final Moment moment;
  private final TestHistory history = new TestHistory();
  private final LastTop top;
  private final FallingBehind falling;

  CapacityReport(PackPlan plan, Moment moment) {
    this.plan = plan;
    this.moment = moment;
    top = new LastTop(plan.series(), plan.ratedAh());
    falling = new FallingBehind(plan.ratedAh());
  }

  /** A full charge has ended. */
  void fullCharge(FullChargeResult charge) {
    top.take(charge);
  }

  /**
   * Writes a discharge up.
   *
   * @param current how far the board's current may be off
   */
  Finding of(Discharge d, Measurement measured, EndReason reason, CurrentError current) {
    Optional<SeriesString> string = measured.ah().flatMap(ah -> UsableCapacity.string(d, top, ah));
    Limit limit = UsableCapacity.limit(string, plan.ratedAh());
    Optional<CapacityTest> test = measured.ah().map(ah -> test(d, measured, limit));
    Optional<Weak> weak = test.flatMap(now -> weak(d, string, now));
    test.ifPresent(now -> falling.add(now, d.wasBehind(d.endCell())));
    Optional<Interval> ah = measured.ah();
    CapacityResult found =
        new CapacityResult(
            moment.wallMs(d.startUpMs()),
            moment.wallMs(d.lastUpMs()),
            ah,
            energy(d, ah),
            ah.isPresent()
                ? OptionalDouble.of(100 * ah.get().mid() / plan.ratedAh())
                : OptionalDouble.empty(),
            d.meanA(),
            d.meanA() / plan.ratedAh(),
            d.ah(),
            sensor(measured, current),
            conditions(d, reason),
            Optional.of(measured.reason()).filter(why -> !why.isEmpty()),
            ah.flatMap(given -> AtRoomTemperature.ah(given, d.meanTempC())),
            test.flatMap(history::withFirst).map(this::compared),
            test.flatMap(history::withPrevious).map(this::compared),
            test.flatMap(history::atAnotherRate).map(this::compared),
            Optional.of(limit).filter(l -> l != Limit.UNKNOWN),
            string.map(s -> UsableCapacity.usable(s, ah.orElseThrow())),
            weak.isPresent() ? OptionalInt.of(weak.get().cell()) : OptionalInt.empty(),
            weak.map(Weak::cause),
            test.flatMap(now -> falling.ahPerDay()));
    test.ifPresent(history::add);
    CapacityResult result = ResultForm.asStored(CapacityResult.class, found);
    return new Finding(
        result.fromMs(), result.toMs(), result, CapacitySentence.of(result, plan.ratedAh()));
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

  private static Energy energy(Discharge d, Optional<Interval> ah) {
    boolean hasTerminals = !Double.isNaN(d.terminalWh());
    double whPerAh = (hasTerminals ? d.terminalWh() : d.wh()) / d.ah();
    return new Energy(
        ah.map(a -> new Interval(whPerAh * a.low(), whPerAh * a.mid(), whPerAh * a.high())),
        ah.map(a -> d.wh() * a.mid() / d.ah()).orElse(Double.NaN),
        hasTerminals ? WhBy.PACK_VOLTAGE : WhBy.CELLS);
  }

  private static Sensor sensor(Measurement measured, CurrentError current) {
    Interval gain = current.gain();
    return new Sensor(
        current.printedAtRestA().orElse(Double.NaN),
        measured.offsetAh(),
        50 * (gain.high() - gain.low()),
        current.isMetered());
  }

  private static Conditions conditions(Discharge d, EndReason reason) {
    return new Conditions(
        d.startKind(),
        Optional.of(reason),
        d.endCell(),
        d.endSpreadMv(),
        d.meanTempC(),
        d.coveragePct(),
        d.endMv(),
        d.endLagMv(),
        d.wh() / d.ah(),
        d.restMs() / 60_000.0,
        reason == EndReason.STOPPED_EARLY,
        d.wasBehind(d.endCell()));
  }

  private Compared compared(Comparison comparison) {
    return comparison.compared(moment.wallMs(comparison.before().upMs()), plan.ratedAh());
  }

  /** A cell that ends the discharge, and why. */
  private record Weak(int cell, WeakCause cause) {}

  /**
   * Why one cell ends the discharge: by what each cell holds as far as the charge before and the
   * end tell, else by three tests alike, of which {@code now} is the last.
   */
  private Optional<Weak> weak(Discharge d, Optional<SeriesString> string, CapacityTest now) {
    Optional<Weak> byCharge =
        string.flatMap(s -> s.why(d.endCell())).map(why -> new Weak(d.endCell(), why));
    int lowest = history.alwaysLowest(now);
    if (byCharge.isPresent() || lowest == 0) {
      return byCharge;
    }
    boolean isSmall = history.alwaysHighest(now) == lowest;
    return Optional.of(
        new Weak(lowest, isSmall ? WeakCause.LOW_CAPACITY : WeakCause.LOW_CHARGE_OR_CAPACITY));
  }

  void state(State io) {
    history.state(io);
    top.state(io);
    falling.state(io);
  }
}
