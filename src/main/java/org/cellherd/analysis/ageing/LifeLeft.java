package org.cellherd.analysis.ageing;

import java.util.Optional;
import org.cellherd.analysis.Interval;

/**
 * Years until a pack has a share of its rated capacity left: the model as what to expect before any
 * test, within a factor of two either way, and the owner's tests as evidence that narrows it or,
 * where they disagree, overrules it.
 */
final class LifeLeft {
  /** Cells of the same make age up to twice as fast or half as fast (common practice). */
  static final double MODEL_FACTOR = 2;

  /**
   * Nothing is said beyond, for no cell of the kind has been watched for longer (from memory); also
   * the value of a bound that lies beyond.
   */
  static final double MOST_YEARS = 20;

  private static final double YEAR_DAYS = 365.25;

  private LifeLeft() {}

  /**
   * Years by the model from a loss so far. Cells that hold more than their rating were made with
   * more: they have lost nothing yet, and have further to go.
   *
   * @param loss share of the rated capacity lost already; negative where more than it is left
   * @param target loss at the end
   */
  static Interval byModel(Usage use, double loss, double target) {
    if (loss < 0) {
      return byModel(use, 0, target - loss);
    }
    double low = years(use, loss, target, MODEL_FACTOR);
    double mid = years(use, loss, target, 1);
    double high = years(use, loss, target, 1 / MODEL_FACTOR);
    return new Interval(low, Math.max(low, mid), Math.max(mid, high));
  }

  private static double years(Usage use, double loss, double target, double factor) {
    if (loss >= target) {
      return 0;
    }
    double calendar = use.calendarRate() * factor;
    double cycling = use.cyclingRate() * factor;
    double year = Math.pow(YEAR_DAYS, LifeModel.CALENDAR_POWER) * calendar;
    double cycles =
        Math.pow(Math.max(1, YEAR_DAYS * use.cyclesPerDay()), LifeModel.CYCLING_POWER) * cycling;
    double share = year / (year + cycles);
    double low = 0;
    double high = MOST_YEARS;
    for (int i = 0; i < 20; i++) {
      double middle = (low + high) / 2;
      double byCalendar =
          LifeModel.advance(loss * share, calendar, LifeModel.CALENDAR_POWER, middle * YEAR_DAYS);
      double byCycles =
          LifeModel.advance(
              loss * (1 - share),
              cycling,
              LifeModel.CYCLING_POWER,
              middle * YEAR_DAYS * use.cyclesPerDay());
      if (byCalendar + byCycles < target) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return high;
  }

  /**
   * Years by the trend of the tests, taken as straight; empty when it does not surely fall.
   *
   * @param sharePerYear change of the capacity a year as a share of the rated one, with its limits
   */
  static Optional<Interval> byTests(Interval sharePerYear, double loss, double target) {
    if (sharePerYear.high() >= 0) {
      return Optional.empty();
    }
    double left = Math.max(0, target - loss);
    return Optional.of(
        new Interval(
            Math.min(MOST_YEARS, left / -sharePerYear.low()),
            Math.min(MOST_YEARS, left / -sharePerYear.mid()),
            Math.min(MOST_YEARS, left / -sharePerYear.high())));
  }

  /** Both together: where they overlap, the overlap; else the tests. */
  static Interval together(Interval model, Interval tests) {
    double low = Math.max(model.low(), tests.low());
    double high = Math.min(model.high(), tests.high());
    if (low > high) {
      return tests;
    }
    double mid = Math.sqrt(model.mid() * tests.mid());
    return new Interval(low, Math.max(low, Math.min(high, mid)), high);
  }
}
