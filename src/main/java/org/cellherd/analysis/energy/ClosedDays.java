package org.cellherd.analysis.energy;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.state.State;

/** The newest closed days, for what looks over more than one. Belongs to one thread. */
final class ClosedDays {
  private static final int KEPT = 30;

  /** A day heard less than this says nothing about a usual day, percent. */
  private static final double LEAST_COVERAGE_PCT = 90;

  private static final int WEEK = 7;
  private static final int FORECAST_DAYS = 21;

  private final Deque<Day> days = new ArrayDeque<>();

  /**
   * One closed day.
   *
   * @param epochDay local date as days since 1970
   * @param netWh energy in less energy out
   * @param drawnWh energy out
   * @param socMin lowest state of charge, percent; NaN when not known
   */
  record Day(long epochDay, Interval netWh, Interval drawnWh, double socMin, double coverage) {
    private static final Day NONE = new Day(0, Interval.exactly(0), Interval.exactly(0), 0, 0);

    private Day state(State io) {
      return new Day(
          io.number(epochDay),
          netWh.state(io),
          drawnWh.state(io),
          io.number(socMin),
          io.number(coverage));
    }

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
  Optional<Interval> netWeekWh() {
    List<Day> week = week();
    return week.size() < WEEK
        ? Optional.empty()
        : Optional.of(sum(week.stream().map(Day::netWh).toList(), 1));
  }

  /** Mean energy drawn a day, over the well-heard days of the last seven; empty without any. */
  Optional<Interval> usualLoadWh() {
    List<Day> week = week();
    return week.isEmpty()
        ? Optional.empty()
        : Optional.of(sum(week.stream().map(Day::drawnWh).toList(), 1.0 / week.size()));
  }

  /** One sensor's errors are alike on all days: they add up. */
  private static Interval sum(List<Interval> days, double times) {
    return new Interval(
        times * days.stream().mapToDouble(Interval::low).sum(),
        times * days.stream().mapToDouble(Interval::mid).sum(),
        times * days.stream().mapToDouble(Interval::high).sum());
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
  TrendCrossing emptyOn() {
    List<Day> known = new ArrayList<>();
    for (Day day : days) {
      if (!Double.isNaN(day.socMin())
          && days.getLast().epochDay() - day.epochDay() < FORECAST_DAYS) {
        known.add(day);
      }
    }
    double[] x = known.stream().mapToDouble(Day::epochDay).toArray();
    double[] y = known.stream().mapToDouble(Day::socMin).toArray();
    return TrendCrossing.ahead(x, y, 0);
  }

  void state(State io) {
    io.list(days, KEPT, Day.NONE, Day::state);
  }
}
