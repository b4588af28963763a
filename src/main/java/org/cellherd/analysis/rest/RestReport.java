package org.cellherd.analysis.rest;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.RestResult;
import org.cellherd.analysis.result.RestResult.Cell;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/** Says what a rest has shown, and what it cannot show. */
final class RestReport {
  private static final double LEAST_SPAN_HOURS = 72;

  private final PackPlan plan;
  private final Moment moment;

  RestReport(PackPlan plan, Moment moment) {
    this.plan = plan;
    this.moment = moment;
  }

  Finding of(Rest rest, long toUpMs) {
    List<Cell> cells = new ArrayList<>();
    List<Integer> suspects = new ArrayList<>();
    double[] days = rest.drift().days();
    Optional<Interval> slope = slope(rest.medianMv());
    for (int cell = 1; cell <= plan.series(); cell++) {
      Optional<Drift> drift = Drift.of(days, rest.drift().column(cell), rest.resolutionMv());
      cells.add(cell(cell, drift, slope, rest));
      if (drift.filter(d -> isSuspect(d, rest)).isPresent()) {
        suspects.add(cell);
      }
    }
    RestResult result =
        ResultForm.asStored(
            RestResult.class,
            new RestResult(
                moment.wallMs(rest.startUpMs()),
                moment.wallMs(toUpMs),
                (toUpMs - rest.startUpMs()) / 3.6e6,
                rest.hours() > 1 && rest.isSettled(),
                rest.drift().spanHours(),
                rest.medianMv(),
                cells,
                suspects,
                Optional.ofNullable(reason(rest, suspects))));
    return new Finding(result.fromMs(), result.toMs(), result, RestSentence.of(result));
  }

  private boolean isSuspect(Drift drift, Rest rest) {
    boolean isLong = rest.drift().spanHours() >= LEAST_SPAN_HOURS - 1;
    return !rest.hasBled() && ((isLong && drift.isFalling()) || drift.isHard());
  }

  /** Steepness of the curve here; empty in the plateau, where voltage does not tell charge. */
  private Optional<Interval> slope(double mv) {
    return Double.isNaN(mv) ? Optional.empty() : CellCurve.of(plan.chemistry()).slope(mv);
  }

  private Cell cell(int cell, Optional<Drift> drift, Optional<Interval> slope, Rest rest) {
    double mvPerDay = drift.map(Drift::mvPerDay).orElse(Double.NaN);
    double error = drift.map(Drift::errorMvPerDay).orElse(Double.NaN);
    double mv = rest.medianMv() + rest.drift().last(cell);
    double firstMv = rest.medianMv() + rest.drift().first(cell);
    return new Cell(cell, mv, mvPerDay, error, slope.flatMap(s -> leak(drift, s, firstMv, mv)));
  }

  /**
   * What a cell loses by how fast it falls, and by the steepness of the curve where it does. Open
   * above where it has fallen onto the plateau, on which it loses charge and hardly falls.
   */
  private Optional<Interval> leak(
      Optional<Drift> drift, Interval ofMedian, double fromMv, double toMv) {
    return drift.map(
        d -> {
          double least = Math.max(0, -d.mvPerDay() - 2 * d.errorMvPerDay());
          double most = Math.max(0, -d.mvPerDay() + 2 * d.errorMvPerDay());
          Interval mvPerPct = least > 0 ? steepness(ofMedian, fromMv, toMv) : ofMedian;
          double low = leakMa(least, mvPerPct.high());
          double high = leakMa(most, mvPerPct.low());
          return new Interval(low, mvPerPct.low() == 0 ? low : (low + high) / 2, high);
        });
  }

  /** Bounds on the slope along which a cell fell, mV for each percent; from 0 on the plateau. */
  private Interval steepness(Interval ofMedian, double fromMv, double toMv) {
    double least = ofMedian.low();
    double most = ofMedian.high();
    for (double mv : new double[] {fromMv, toMv}) {
      Optional<Interval> own = slope(mv);
      least = Math.min(least, own.map(Interval::low).orElse(0.0));
      most = Math.max(most, own.map(Interval::high).orElse(0.0));
    }
    return new Interval(least, (least + most) / 2, most);
  }

  /** Current that makes a cell fall so fast where the curve has this slope. */
  private double leakMa(double mvPerDay, double mvPerPct) {
    return mvPerDay / mvPerPct * plan.ratedMah() / 100.0 / 24;
  }

  private @Nullable String reason(Rest rest, List<Integer> suspects) {
    if (rest.hasBled()) {
      return "cells were bled during the rest";
    }
    if (rest.drift().spanHours() < LEAST_SPAN_HOURS - 1 && suspects.isEmpty()) {
      return "too short: 72 h after relaxation are needed";
    }
    if (slope(rest.medianMv()).isEmpty() && suspects.isEmpty()) {
      return "in the plateau voltage does not tell charge: a leak of usual size cannot be seen"
          + " here";
    }
    if (isFromFirst(suspects)) {
      return "the lowest cells fall together: perhaps the board's own supply, not leaks";
    }
    return null;
  }

  /** Some boards feed themselves from the lower cells. */
  private boolean isFromFirst(List<Integer> suspects) {
    return suspects.size() >= 2
        && suspects.size() < plan.series()
        && suspects.get(suspects.size() - 1) == suspects.size();
  }
}
