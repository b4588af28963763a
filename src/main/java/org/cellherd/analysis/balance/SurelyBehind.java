package org.cellherd.analysis.balance;

import java.util.Arrays;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Medians;

/**
 * By how much each cell surely falls behind the median one a day, from the bounds of its leads
 * alone: the least that it is behind at a top, less the most that it was at the first top that told
 * of all cells, what was bled in between allowed for. Two tops must show it. It stays until the
 * cell is seen further ahead than it was, as after it was charged or replaced. Belongs to one
 * thread.
 */
final class SurelyBehind {
  private static final double LEAST_DAYS = 3;

  private final int cells;
  private final double[] least;
  private final double[] most;
  private final double[] hours;

  /** Of each cell, as of the first top that told of all. */
  private final double[] firstHours;

  private final double[] firstMost;

  private final double[] best;
  private final double[] second;
  private final double[] shown;
  private double firstDay = Double.NaN;

  SurelyBehind(int cells) {
    this.cells = cells;
    least = new double[cells];
    most = new double[cells];
    hours = new double[cells];
    firstHours = new double[cells];
    firstMost = new double[cells];
    best = new double[cells];
    second = new double[cells];
    shown = new double[cells];
    forget();
  }

  private void forget() {
    Arrays.fill(best, Double.NEGATIVE_INFINITY);
    Arrays.fill(second, Double.NEGATIVE_INFINITY);
    Arrays.fill(shown, Double.NEGATIVE_INFINITY);
    firstDay = Double.NaN;
  }

  /**
   * A top has ended.
   *
   * @param bledHours how long each cell was bled since the log began
   * @param bleedA the current by which it was, A
   */
  void add(double day, Iterable<Lead> leads, double[] bledHours, Interval bleedA) {
    Arrays.fill(least, Double.NaN);
    for (Lead lead : leads) {
      least[lead.cell() - 1] = lead.ah().low();
      most[lead.cell() - 1] = lead.ah().high();
    }
    if (Arrays.stream(least).anyMatch(Double::isNaN)) {
      return;
    }
    System.arraycopy(bledHours, 0, hours, 0, cells);
    for (int cell = 0; cell < cells; cell++) {
      if (!Double.isNaN(firstDay) && mostBehind(cell, bleedA) < shown[cell]) {
        forget();
      }
    }
    if (Double.isNaN(firstDay)) {
      begin(day);
    } else if (day - firstDay >= LEAST_DAYS) {
      compare(day - firstDay, bleedA);
    }
  }

  private void begin(double day) {
    if (Arrays.stream(most).allMatch(Double::isFinite)) {
      firstDay = day;
      System.arraycopy(hours, 0, firstHours, 0, cells);
      double middle = Medians.median(most);
      for (int cell = 0; cell < cells; cell++) {
        firstMost[cell] = middle - least[cell];
      }
    }
  }

  private void compare(double days, Interval bleedA) {
    for (int cell = 0; cell < cells; cell++) {
      double behind = leastBehind(cell, bleedA);
      double fall = (behind - firstMost[cell]) / days;
      if (fall > second[cell]) {
        second[cell] = Math.min(fall, best[cell]);
        best[cell] = Math.max(fall, best[cell]);
        shown[cell] = Math.max(shown[cell], behind);
      }
    }
  }

  private double leastBehind(int cell, Interval bleedA) {
    return median(least, bleedA.low()) - most[cell] - bleedA.high() * bled(cell);
  }

  private double mostBehind(int cell, Interval bleedA) {
    return median(most, bleedA.high()) - least[cell] - bleedA.low() * bled(cell);
  }

  /** The median lead if nothing had been bled since the first top, Ah. */
  private double median(double[] of, double bleedA) {
    double[] unbled = new double[cells];
    for (int i = 0; i < cells; i++) {
      unbled[i] = of[i] + bleedA * bled(i);
    }
    return Medians.median(unbled);
  }

  private double bled(int cell) {
    return hours[cell] - firstHours[cell];
  }

  /**
   * By how much a cell, by index, surely falls behind, Ah a day; negative infinity if not known.
   */
  double ahPerDay(int cell) {
    return second[cell];
  }

  void state(State io) {
    io.each(firstHours);
    io.each(firstMost);
    io.each(best);
    io.each(second);
    io.each(shown);
    firstDay = io.number(firstDay);
  }
}
