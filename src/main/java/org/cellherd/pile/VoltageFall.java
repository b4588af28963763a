package org.cellherd.pile;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.analysis.trend.Normal;
import org.cellherd.analysis.trend.StraightLine;

/**
 * How much faster a unit's voltage falls at rest than its peers' do: what all have in common, such
 * as temperature and recovery from a charge, cancels. Turned into charge by bounds of the
 * open-circuit curve's slope; on the plateau of LFP the slope may be nothing, so there is no upper
 * bound.
 *
 * @param mvPerDay fall beyond the median of the peers, mV a day and cell, 95 of 100
 * @param pctPerMonth the same as share of the capacity, percent in 30 days; infinite above where
 *     voltage says nothing
 * @param days over which it was seen
 * @param isApart true when neither the meter nor the peers' own scatter explains the fall
 */
record VoltageFall(Interval mvPerDay, Interval pctPerMonth, double days, boolean isApart) {

  /** Warn above this, percent in 30 days; sheets of packs promise less. */
  static final double MOST_PCT = 3;

  /** A fall of so many mV a day beyond the peers is a fault in any chemistry (trade value). */
  static final double MOST_MV_PER_DAY = 5;

  static final double DAYS_A_MONTH = 30;
  private static final double DAY_MS = 86_400_000.0;
  private static final double TWO_SIDED = 1.96;

  /** Standard error of a median over that of a mean, squared (normal values). */
  private static final double MEDIAN_COST = Math.PI / 2;

  private static final int LEAST_PEERS = 3;

  /** Of a steep part of the curve, where the bound of the plateau is missing; mV for a percent. */
  private static final double STEEPEST_PLATEAU = 30;

  private record Fall(double mvPerDay, double variance, double days) {}

  /** Of a unit among its peers; empty without two voltages, or with too few peers. */
  static Optional<VoltageFall> of(Unit unit, List<Unit> peers, double meterMv) {
    Optional<Fall> own = fall(unit, meterMv);
    List<Double> others = new ArrayList<>();
    double worst = 0;
    for (Unit peer : peers) {
      Optional<Fall> fall = fall(peer, meterMv);
      if (fall.isPresent() && !peer.id().equals(unit.id())) {
        others.add(fall.get().mvPerDay());
        worst = Math.max(worst, fall.get().variance());
      }
    }
    if (own.isEmpty() || others.size() < LEAST_PEERS || unit.chemistry().isEmpty()) {
      return Optional.empty();
    }
    double[] all = others.stream().mapToDouble(d -> d).toArray();
    double more = own.get().mvPerDay() - Medians.median(all);
    double half = TWO_SIDED * Math.sqrt(own.get().variance() + MEDIAN_COST * worst / others.size());
    Interval fall = new Interval(more - half, more, more + half);
    boolean isApart = isApart(more, half / TWO_SIDED, all);
    return Optional.of(new VoltageFall(fall, share(unit, fall), own.get().days(), isApart));
  }

  /**
   * True when not even the unluckiest of so many good units would seem to fall so fast: by the
   * meter's error, and by how far the peers themselves lie apart, as temperature and contacts do.
   */
  private static boolean isApart(double more, double error, double[] peers) {
    double scatter = Math.max(error, Medians.MAD_TO_SIGMA * Medians.mad(peers));
    return more > scatter * Normal.quantile(1 - 0.025 / (peers.length + 1));
  }

  private static Interval share(Unit unit, Interval fall) {
    Optional<Interval> slope = slope(unit);
    double steep = slope.map(Interval::high).orElse(STEEPEST_PLATEAU);
    double low = DAYS_A_MONTH * Math.max(0, fall.low()) / steep;
    double high =
        slope.isPresent()
            ? DAYS_A_MONTH * Math.max(0, fall.high()) / slope.get().low()
            : Double.POSITIVE_INFINITY;
    double mid = slope.map(s -> DAYS_A_MONTH * Math.max(0, fall.mid()) / s.mid()).orElse(low);
    return new Interval(low, Math.min(Math.max(low, mid), high), high);
  }

  private static Optional<Interval> slope(Unit unit) {
    OptionalDouble mv = unit.restMvPerCell();
    return mv.isEmpty()
        ? Optional.empty()
        : unit.chemistry().flatMap(c -> CellCurve.of(c).slope(mv.getAsDouble()));
  }

  /** Least squares with the meter's known error, and the error of the dates beside it. */
  private static Optional<Fall> fall(Unit unit, double meterMv) {
    List<Unit.RestVoltage> rests =
        unit.rests().stream().filter(r -> r.withinMs() != Long.MAX_VALUE).toList();
    if (rests.size() < 2) {
      return Optional.empty();
    }
    long start = rests.get(0).atMs();
    Optional<StraightLine> line =
        StraightLine.through(
            rests.stream().mapToDouble(r -> (r.atMs() - start) / DAY_MS).toArray(),
            rests.stream().mapToDouble(Unit.RestVoltage::mv).toArray());
    double days = (rests.get(rests.size() - 1).atMs() - start) / DAY_MS;
    double within = rests.stream().mapToDouble(r -> r.withinMs() / DAY_MS).max().orElse(0);
    if (days <= 2 * within || line.isEmpty()) {
      return Optional.empty();
    }
    double fall = -line.get().slope() / unit.series();
    double meter = meterMv / unit.series();
    double dates = fall * within * Math.sqrt(2) / days / TWO_SIDED;
    return Optional.of(
        new Fall(fall, meter * meter / line.get().sumSquaresX() + dates * dates, days));
  }

  /**
   * Days between two voltages that bring the interval down to what is allowed, at this unit's
   * voltage; empty where its voltage never tells.
   */
  static OptionalDouble daysNeeded(Unit unit, double meterMv) {
    return slope(unit)
        .map(
            s ->
                TWO_SIDED
                    * meterMv
                    / unit.series()
                    * Math.sqrt(2)
                    * DAYS_A_MONTH
                    / (MOST_PCT * s.low()))
        .map(OptionalDouble::of)
        .orElse(OptionalDouble.empty());
  }
}
