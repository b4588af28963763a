package org.cellherd.analysis.energy;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.OptionalDouble;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
import org.cellherd.analysis.trend.Crossing;
import org.cellherd.analysis.trend.Fieller.Band;

/** The newest closed days, for what looks over more than one. Belongs to one thread. */
final class ClosedDays {
  private static final int KEPT = 30;
  private static final int FIELDS = 5;

  /** A day heard less than this says nothing about a usual day, percent. */
  private static final double LEAST_COVERAGE_PCT = 90;

  private static final int WEEK = 7;
  private static final int FORECAST_DAYS = 21;

  private final Deque<Day> days = new ArrayDeque<>();

  /**
   * One closed day.
   *
   * @param epochDay local date as days since 1970
   * @param socMin lowest state of charge, percent; NaN when not known
   */
  record Day(long epochDay, double chargedWh, double dischargedWh, double socMin, double coverage) {
    boolean isUsual() {
      return coverage >= LEAST_COVERAGE_PCT;
    }
  }

  void add(Day day) {
    days.addLast(day);
    if (days.size() > KEPT) {
      days.removeFirst();
    }
  }

  /** Energy in less energy out over the last seven days; empty unless all were heard. */
  OptionalDouble netWeekWh() {
    List<Day> week = week();
    return week.size() < WEEK
        ? OptionalDouble.empty()
        : OptionalDouble.of(week.stream().mapToDouble(d -> d.chargedWh() - d.dischargedWh()).sum());
  }

  /** Mean energy drawn a day, over the well-heard days of the last seven; empty without any. */
  OptionalDouble usualLoadWh() {
    return week().stream().mapToDouble(Day::dischargedWh).average();
  }

  private List<Day> week() {
    List<Day> week = new ArrayList<>();
    for (Day day : days) {
      if (day.isUsual() && days.getLast().epochDay() - day.epochDay() < WEEK) {
        week.add(day);
      }
    }
    return week;
  }

  /** Local date, as days since 1970, on which the daily low will reach empty; or why not. */
  Crossing emptyOn() {
    List<Day> known = new ArrayList<>();
    for (Day day : days) {
      if (!Double.isNaN(day.socMin())
          && days.getLast().epochDay() - day.epochDay() < FORECAST_DAYS) {
        known.add(day);
      }
    }
    double[] x = known.stream().mapToDouble(Day::epochDay).toArray();
    double[] y = known.stream().mapToDouble(Day::socMin).toArray();
    return Crossing.ahead(x, y, 0, Band.LINE);
  }

  void save(StateWriter out) {
    double[] flat = new double[days.size() * FIELDS];
    int i = 0;
    for (Day day : days) {
      flat[i++] = day.epochDay();
      flat[i++] = day.chargedWh();
      flat[i++] = day.dischargedWh();
      flat[i++] = day.socMin();
      flat[i++] = day.coverage();
    }
    out.putDoubles(flat);
  }

  void restore(StateReader in) {
    double[] flat = in.getDoubles();
    if (flat.length % FIELDS != 0 || flat.length > KEPT * FIELDS) {
      throw new StateMismatch(flat.length + " numbers of closed days");
    }
    days.clear();
    for (int i = 0; i < flat.length; i += FIELDS) {
      days.add(new Day((long) flat[i], flat[i + 1], flat[i + 2], flat[i + 3], flat[i + 4]));
    }
  }
}
