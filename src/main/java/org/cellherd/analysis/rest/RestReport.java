package org.cellherd.analysis.rest;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.CurveSlope;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/** Says what a rest has shown, and what it cannot show. */
final class RestReport {
  private static final double LEAST_SPAN_HOURS = 72;

  private final PackPlan plan;
  private final AnalysisSettings settings;
  private final Moment moment;

  RestReport(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.plan = plan;
    this.settings = settings;
    this.moment = moment;
  }

  /** Reports a rest as of a fold time. */
  Finding of(Rest rest, long toUpMs) {
    List<Facts> cells = new ArrayList<>();
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
    Facts facts = facts(rest, toUpMs, cells, suspects);
    return ResultForm.finding(
        FindingName.REST,
        moment.wallMs(rest.startUpMs()),
        moment.wallMs(toUpMs),
        facts,
        RestSentence.of(facts));
  }

  private boolean isSuspect(Drift drift, Rest rest) {
    boolean isLong = rest.drift().spanHours() >= LEAST_SPAN_HOURS - 1;
    return !rest.hasBled() && ((isLong && drift.isFalling()) || drift.isHard());
  }

  /** Steepness of the curve here; empty in the plateau, where voltage does not tell charge. */
  private Optional<Interval> slope(double mv) {
    boolean isBlind = mv >= settings.blindFromMv() && mv <= settings.blindToMv();
    return Double.isNaN(mv) || (isBlind && settings.blindFromMv() < settings.blindToMv())
        ? Optional.empty()
        : CurveSlope.at(plan.chemistry(), mv);
  }

  private Facts cell(int cell, Optional<Drift> drift, Optional<Interval> slope, Rest rest) {
    double mvPerDay = drift.map(Drift::mvPerDay).orElse(Double.NaN);
    double error = drift.map(Drift::errorMvPerDay).orElse(Double.NaN);
    Facts.Builder facts =
        Facts.of()
            .put("cell", cell)
            .put("last_mv", rest.medianMv() + rest.drift().last(cell), 1)
            .put("drift_mv_per_day", mvPerDay, 3)
            .put("se_mv_per_day", error, 3);
    if (slope.isEmpty() || drift.isEmpty()) {
      return facts.putUnknown("leak_ma_low").putUnknown("leak_ma_high").build();
    }
    double least = Math.max(0, -mvPerDay - 2 * error);
    double most = Math.max(0, -mvPerDay + 2 * error);
    return facts
        .putLow("leak_ma_low", leakMa(least, slope.get().high()), 2)
        .putHigh("leak_ma_high", leakMa(most, slope.get().low()), 2)
        .build();
  }

  /** Current that makes a cell fall so fast where the curve has this slope. */
  private double leakMa(double mvPerDay, double mvPerPct) {
    return mvPerDay / mvPerPct * plan.ratedMah() / 100.0 / 24;
  }

  private Facts facts(Rest rest, long toUpMs, List<Facts> cells, List<Integer> suspects) {
    return Facts.of()
        .putTime("from", moment.wallMs(rest.startUpMs()))
        .putTime("to", moment.wallMs(toUpMs))
        .put("hours", (toUpMs - rest.startUpMs()) / 3.6e6, 1)
        .put("settled", rest.hours() > 1 && rest.isSettled())
        .put("measured_hours", rest.drift().spanHours(), 1)
        .put("median_mv", rest.medianMv(), 1)
        .put("cells", cells)
        .put("suspects", suspects)
        .put("reason", reason(rest, suspects))
        .build();
  }

  private @Nullable String reason(Rest rest, List<Integer> suspects) {
    if (rest.hasBled()) {
      return "cells were bled during the rest";
    }
    if (rest.drift().spanHours() < LEAST_SPAN_HOURS - 1 && suspects.isEmpty()) {
      return "too short: 72 h after relaxation are needed";
    }
    if (slope(rest.medianMv()).isEmpty() && suspects.isEmpty()) {
      return "in the plateau voltage does not tell charge: a leak of usual size cannot be seen here";
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
