package org.cellherd.analysis.balance;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.estimate.LeadEstimator.Places;
import org.cellherd.analysis.result.CellGrowth;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.analysis.trend.Ring;
import org.cellherd.analysis.trend.StraightLine;
import org.jspecify.annotations.Nullable;

/**
 * Lead of each cell at the last tops, with what was bled from it added back: what is left grows or
 * falls only by unequal self-discharge. What was bled is known as a time; the current is one for
 * the whole log and lies between two bounds, from 0 where nobody knows whether the board bleeds at
 * all, so that every growth is told from the one bound to the other. Against the median cell, so
 * that the leaking one stands out and not whichever happens to be last. A leak shows at the top
 * only: the plateau hides years of it (arithmetic from 3.5 % a month of 100 Ah and 0.1 mV a
 * percent).
 *
 * <p>Beside the line through all tops, bounds count: by how much a cell is behind at the least,
 * less the most that it was at the first top that told of all cells. That stays when later tops,
 * where the cell no longer comes to its knee, tell no more ({@link SurelyBehind}).
 */
final class LeadHistory {
  private static final int KEPT = 24;
  private static final int LEAST_TOPS = 4;
  private static final double LEAST_DAYS = 3;

  /** Another cell is the median one as the current of bleeding grows: the ends alone miss some. */
  private static final int BLEED_STEPS = 8;

  private static final double DAY_MS = 86_400_000;

  private final int cells;
  private final double[] days = new double[KEPT];
  private final double[] greatest = new double[KEPT];
  private final double[] lead;
  private final double[] bledHours;
  private final double[] turning;

  /** 1 for a cell that did not come to its knee at the latest top: it may lie further down. */
  private final double[] isLost;

  private final Ring tops = new Ring(KEPT);
  private final SurelyBehind behind;

  /** Of each cell, as of the latest top; empty before anybody asked. */
  private final List<Optional<Interval>> growths = new ArrayList<>();

  private double leastBleedA;
  private double mostBleedA;

  LeadHistory(int cells) {
    this.cells = cells;
    lead = new double[cells * KEPT];
    bledHours = new double[cells * KEPT];
    turning = new double[cells * KEPT];
    isLost = new double[cells];
    behind = new SurelyBehind(cells);
  }

  /**
   * A top has ended.
   *
   * @param places where the cells stand
   * @param hours how long each cell was bled since the log began
   * @param bleedA the current by which it was, as it is known now, A
   */
  void add(long upMs, Iterable<Lead> leads, Places places, double[] hours, Interval bleedA) {
    growths.clear();
    leastBleedA = bleedA.low();
    mostBleedA = bleedA.high();
    behind.add(upMs / DAY_MS, leads, hours, bleedA);
    double[] y = places.ah();
    double most = 0;
    for (Lead l : leads) {
      most = Math.max(most, l.ah().mid());
    }
    for (int i = 0; i < cells; i++) {
      isLost[i] = Double.isNaN(y[i]) ? 1 : 0;
    }
    if (Arrays.stream(y).anyMatch(Double::isNaN)) {
      return;
    }
    int row = tops.next();
    for (int i = 0; i < cells; i++) {
      lead[row * cells + i] = y[i];
      bledHours[row * cells + i] = hours[i];
      turning[row * cells + i] = places.turningAh()[i];
    }
    days[row] = upMs / DAY_MS;
    greatest[row] = most;
  }

  /** Tops kept. */
  int size() {
    return tops.size();
  }

  /** Growth of a cell's lead over the median cell, Ah a day, 95 %; null when it cannot be known. */
  @Nullable Interval growth(int cell) {
    for (int i = growths.size(); i < cells; i++) {
      growths.add(Optional.ofNullable(grown(i)));
    }
    return growths.get(cell).orElse(null);
  }

  private @Nullable Interval grown(int cell) {
    double turns = 0;
    for (int i = 0; i < size(); i++) {
      turns += turning[i * cells + cell] / size();
    }
    Interval own = slope(overMedian(cell, (leastBleedA + mostBleedA) / 2), turns);
    return own == null ? null : atLeast(withBleeding(own, cell), behind.ahPerDay(cell));
  }

  /** The same of a cell that surely falls behind by so much a day. */
  private static Interval atLeast(Interval growth, double fallAhPerDay) {
    double high = Math.min(growth.high(), -fallAhPerDay);
    return new Interval(Math.min(growth.low(), high), Math.min(growth.mid(), high), high);
  }

  /**
   * Where the current of bleeding is known but for its tolerance, that error and the leads' own are
   * independent; where nobody knows whether the board bleeds, either end may well be the truth.
   */
  private Interval withBleeding(Interval own, int cell) {
    double least = own.mid();
    double most = own.mid();
    for (int step = 0; step <= BLEED_STEPS; step++) {
      double bleedA = leastBleedA + (mostBleedA - leastBleedA) * step / BLEED_STEPS;
      double there = Objects.requireNonNull(line(overMedian(cell, bleedA))).slope();
      least = Math.min(least, there);
      most = Math.max(most, there);
    }
    return new Interval(
        own.mid() - both(own.mid() - own.low(), own.mid() - least),
        own.mid(),
        own.mid() + both(own.high() - own.mid(), most - own.mid()));
  }

  private double both(double ofLeads, double ofBleeding) {
    return leastBleedA > 0 ? Math.hypot(ofLeads, ofBleeding) : ofLeads + ofBleeding;
  }

  /** By how much a cell would lead the median one at each top if none had been bled, Ah. */
  private double[] overMedian(int cell, double bleedA) {
    double[] over = new double[size()];
    double[] unbled = new double[cells];
    for (int row = 0; row < over.length; row++) {
      for (int i = 0; i < cells; i++) {
        unbled[i] = lead[row * cells + i] + bleedA * bledHours[row * cells + i];
      }
      double own = unbled[cell];
      Arrays.sort(unbled);
      over[row] = own - Medians.median(unbled);
    }
    return over;
  }

  /** Growth of every cell's lead that can be known. */
  List<CellGrowth> cellGrowth() {
    List<CellGrowth> list = new ArrayList<>();
    for (int i = 0; i < cells; i++) {
      Interval g = growth(i);
      if (g != null) {
        double low = isLost[i] > 0 ? Double.NEGATIVE_INFINITY : g.low();
        list.add(new CellGrowth(i + 1, new Interval(low, g.high(), g.high())));
      }
    }
    return list;
  }

  /** Growth of the greatest lead, bleeding and all, Ah a day; null when it cannot be known. */
  @Nullable Interval growthOfGreatest() {
    return slope(Arrays.copyOf(greatest, size()), 0);
  }

  private @Nullable Interval slope(double[] y, double turns) {
    StraightLine line = line(y);
    if (line == null) {
      return null;
    }
    double b = line.slope();
    double scatter = line.errors(0.95) * line.slopeError();
    // What turns with current and warmth over the weeks is at worst one bound in the first half and
    // the other in the second, which tilts the line by three of them.
    double error = Math.hypot(scatter, 3 / line.spanX() * turns);
    return new Interval(b - error, b, b + error);
  }

  /** Through what was at each top; null of too few, or too few days. */
  private @Nullable StraightLine line(double[] y) {
    return Optional.of(y)
        .filter(tops -> tops.length >= LEAST_TOPS)
        .flatMap(tops -> StraightLine.through(Arrays.copyOf(days, tops.length), tops))
        .filter(line -> line.spanX() >= LEAST_DAYS)
        .orElse(null);
  }

  /** Days until the greatest lead is so many Ah, from the last top; null without a sure growth. */
  @Nullable Interval daysTo(double ah) {
    Interval growth = growthOfGreatest();
    if (growth == null || growth.low() <= 0) {
      return null;
    }
    double left = Math.max(0, ah - greatest[tops.newest(0)]);
    return new Interval(left / growth.high(), left / growth.mid(), left / growth.low());
  }

  void state(State io) {
    io.each(days);
    io.each(greatest);
    growths.clear();
    io.each(lead);
    io.each(bledHours);
    io.each(turning);
    io.each(isLost);
    tops.state(io);
    behind.state(io);
    leastBleedA = io.number(leastBleedA);
    mostBleedA = io.number(mostBleedA);
  }
}
