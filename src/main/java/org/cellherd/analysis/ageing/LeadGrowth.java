package org.cellherd.analysis.ageing;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.ToDoubleFunction;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.SelfDischarge;
import org.cellherd.analysis.result.AgeingResult.Leaking;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.CellGrowth;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.result.FullChargeResult.CellLead;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Medians;

/**
 * Growth of the cells' leads from one full charge to the next, as the latest full charge told it,
 * and of a cell that ends each discharge, as those did: a cell that falls behind leaks, and this
 * shows where the plateau hides it. One thread.
 */
final class LeadGrowth {
  private static final int MOST = 64;
  private static final CellGrowth NONE = new CellGrowth(0, Interval.exactly(0));
  private static final CellLead NO_LEAD = new CellLead(0, Interval.exactly(0));

  /** Of the rating; so much less is felt in daily use. */
  private static final double FELT = 0.05;

  private final int cells;
  private final double feltAh;
  private final double leastAhPerDay;
  private final List<CellGrowth> growths = new ArrayList<>();
  private final List<CellLead> leads = new ArrayList<>();
  private Optional<CellGrowth> fall = Optional.empty();

  LeadGrowth(double ratedAh, int cells) {
    this.cells = cells;
    feltAh = FELT * ratedAh;
    leastAhPerDay = SelfDischarge.soundMa(ratedAh) * 24 / 1000;
  }

  void take(FullChargeResult fullCharge) {
    List<CellLead> told = fullCharge.lead();
    if (!told.isEmpty()) {
      leads.clear();
      leads.addAll(told.subList(0, Math.min(told.size(), MOST)));
    }
    List<CellGrowth> rows = fullCharge.leadGrowth();
    if (rows.isEmpty()) {
      return;
    }
    growths.clear();
    growths.addAll(rows.subList(0, Math.min(rows.size(), MOST)));
    fall = fall.filter(f -> rows.stream().noneMatch(row -> contradicts(row, f)));
  }

  /**
   * Takes a discharge. The cell fell behind the one that was full first, which itself may lose less
   * than the median cell by as much as a sound one may, and more by bleeding: only the least that
   * it loses is known. Once it is full with the others, or another cell ends a discharge, it has
   * been charged or replaced.
   */
  void take(CapacityResult test) {
    if (!test.isWhole()) {
      return;
    }
    int cell = test.conditions().limitingCell();
    boolean isBehind = test.conditions().limitingWasBehind();
    fall = fall.filter(known -> known.cell() == cell && isBehind);
    test.fallsBehindAhPerDay()
        .ifPresent(
            found -> {
              double most = leastAhPerDay - found.low();
              Interval growth = new Interval(Double.NEGATIVE_INFINITY, most, most);
              fall = Optional.of(new CellGrowth(cell, growth));
            });
  }

  List<CellGrowth> cells() {
    List<CellGrowth> rows = new ArrayList<>(growths);
    fall.ifPresent(
        known -> {
          Optional<CellGrowth> row = rows.stream().filter(r -> r.cell() == known.cell()).findAny();
          row.ifPresent(rows::remove);
          rows.add(row.map(of -> both(of, known)).orElse(known));
        });
    return rows.stream().sorted(Comparator.comparingInt(CellGrowth::cell)).toList();
  }

  private static boolean contradicts(CellGrowth ofCharges, CellGrowth fall) {
    return ofCharges.cell() == fall.cell() && ofCharges.ahPerDay().low() > fall.ahPerDay().high();
  }

  /** Both are true of one cell; where they are not, the discharges are the later word. */
  private static CellGrowth both(CellGrowth ofCharges, CellGrowth fall) {
    double least = ofCharges.ahPerDay().low();
    double most = fall.ahPerDay().high();
    if (ofCharges.ahPerDay().high() <= most) {
      return ofCharges;
    }
    return least < most ? new CellGrowth(fall.cell(), interval(least, most)) : fall;
  }

  /**
   * Cells that surely fall behind by more than a sound cell may, with the current that they lose
   * and the days in which that is 5 % of the rating. Where a cell no longer comes to its knee only
   * the least is known.
   */
  List<Leaking> leaking() {
    List<Leaking> rows = new ArrayList<>();
    for (CellGrowth growth : cells()) {
      double least = -growth.ahPerDay().high();
      double most = -growth.ahPerDay().low();
      if (least > leastAhPerDay) {
        rows.add(
            new Leaking(
                growth.cell(),
                interval(least * 1000 / 24, most * 1000 / 24),
                Double.isInfinite(most)
                    ? interval(Double.NEGATIVE_INFINITY, feltAh / least)
                    : interval(feltAh / most, feltAh / least),
                behind(growth.cell())));
      }
    }
    return rows;
  }

  /**
   * By how much a cell was behind the median one at the latest full charge; empty unless that told
   * of all cells.
   */
  private Optional<Interval> behind(int cell) {
    double low = median(Interval::low);
    double high = median(Interval::high);
    return leads.stream()
        .filter(lead -> lead.cell() == cell && leads.size() == cells)
        .map(CellLead::ah)
        .filter(own -> Double.isFinite(high - own.low()) && high > own.low())
        .map(own -> interval(Math.max(0, low - own.high()), high - own.low()))
        .findFirst();
  }

  private double median(ToDoubleFunction<Interval> end) {
    return Medians.median(leads.stream().map(CellLead::ah).mapToDouble(end).toArray());
  }

  private static Interval interval(double low, double high) {
    double mid = Double.isInfinite(low) ? high : Double.isInfinite(high) ? low : (low + high) / 2;
    return new Interval(low, mid, high);
  }

  void state(State io) {
    io.list(growths, MOST, NONE, LeadGrowth::state);
    io.list(leads, MOST, NO_LEAD, LeadGrowth::state);
    fall = io.optional(fall, NONE, LeadGrowth::state);
  }

  private static CellLead state(CellLead now, State io) {
    return new CellLead(io.number(now.cell()), now.ah().state(io));
  }

  private static CellGrowth state(CellGrowth now, State io) {
    return new CellGrowth(io.number(now.cell()), now.ahPerDay().state(io));
  }
}
