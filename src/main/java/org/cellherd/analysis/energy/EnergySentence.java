package org.cellherd.analysis.energy;

import java.time.LocalDate;
import java.util.Locale;
import java.util.OptionalDouble;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.EnergyResult;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;

/** Says the result of a day in words. */
final class EnergySentence {
  /** Of a range wider than this only its lower end says something. */
  private static final double MOST_RATIO = 10;

  private static final double LOW_COVERAGE_PCT = 95;
  private static final double LEAST_ROUND_TRIP_PCT = 88;

  /** More than all came back, beyond what a sensor of 1 % may be off in both directions. */
  private static final double MOST_ROUND_TRIP_PCT = 102;

  /** Packs from here on are told of in kWh. */
  private static final double LARGE_WH = 1000;

  private static final double LEAST_BEYOND_MIN = 10;

  private static final double NEVER_FULL_DAYS = 14;

  private EnergySentence() {}

  /**
   * A day in words.
   *
   * @param isGoingOn true for the latest day, which also tells what is ahead
   */
  static String of(EnergyResult f, PackPlan plan, boolean isGoingOn) {
    StringBuilder text = new StringBuilder();
    text.append(
        say(
            "%s: %s in, %s out",
            day(f.day()),
            energy(f.chargedWh(), isLarge(plan)),
            energy(f.dischargedWh(), isLarge(plan))));
    if (!Double.isNaN(f.socMinPct())) {
      text.append(charge(f.socMinPct(), f.socMaxPct()));
      text.append(full(f.fullMinutes()));
    } else if (f.depthPct() >= 1) {
      text.append(
          say("; a swing of %.0f %% of the capacity (state of charge not known)", f.depthPct()));
    }
    text.append('.');
    full(text, f, plan, isGoingOn);
    cold(text, f);
    if (isGoingOn) {
      ahead(text, f);
    }
    doubts(text, f);
    return text.toString();
  }

  private static String energy(Interval wh, boolean isLarge) {
    return isLarge ? wh.times(1e-3).words(2) + " kWh" : wh.words(1) + " Wh";
  }

  private static boolean isLarge(PackPlan plan) {
    return plan.ratedAh() * plan.nominalMv() / 1000 >= LARGE_WH;
  }

  private static String charge(double low, double high) {
    return Math.round(low) == Math.round(high)
        ? say("; charge about %.0f %%", high)
        : "; charge " + Spoken.between(low, high, 0) + " %";
  }

  private static String full(double minutes) {
    return minutes < 1 ? ", never full" : ", " + lasting(minutes) + " full";
  }

  private static String lasting(double minutes) {
    return minutes < 120 ? say("%.0f min", minutes) : say("%.1f h", minutes / 60);
  }

  /** On the day on which it becomes too long, and on the latest: once is enough. */
  private static void full(StringBuilder text, EnergyResult f, PackPlan plan, boolean isGoingOn) {
    OptionalDouble days = f.outlook().daysSinceFull();
    double most = isGoingOn ? Double.POSITIVE_INFINITY : NEVER_FULL_DAYS + 1;
    if (days.isPresent()
        && days.getAsDouble() >= NEVER_FULL_DAYS
        && days.getAsDouble() < most
        && !plan.partialCharge()) {
      text.append(
          say(
              " No full charge was seen for %.0f days: the count drifts, and nothing is balanced"
                  + " without one.",
              days.getAsDouble()));
    }
  }

  private static void cold(StringBuilder text, EnergyResult f) {
    if (f.coldChargeMinutes() > 0) {
      text.append(
          " Charged for "
              + (f.coldChargeMinutes() < 1 ? "less than 1 min" : lasting(f.coldChargeMinutes()))
              + " with a cell sensor below 0 °C.");
    }
    if (f.beyondZoneMinutes() - f.coldChargeMinutes() >= LEAST_BEYOND_MIN) {
      text.append(
          " Charged for "
              + lasting(f.beyondZoneMinutes())
              + " faster or higher than published tables allow at that temperature.");
    }
  }

  private static void ahead(StringBuilder text, EnergyResult f) {
    EnergyResult.Outlook outlook = f.outlook();
    outlook.autonomyDays().ifPresent(days -> text.append(autonomy(days)));
    outlook
        .emptyOn()
        .ifPresent(
            date ->
                text.append(
                    say(
                        " If it goes on like this the daily low reaches empty around %s (%s to %s).",
                        day(date),
                        outlook.emptyOnEarly().map(EnergySentence::day).orElse("?"),
                        outlook.emptyOnLate().map(EnergySentence::day).orElse("?"))));
  }

  private static String day(String iso) {
    return SpokenTime.day(LocalDate.parse(iso));
  }

  private static String autonomy(Interval days) {
    double low = days.low();
    boolean isOpen = days.high() > MOST_RATIO * low;
    boolean isShort = low < 2;
    double unit = isShort ? 24 : 1;
    int decimals = isShort ? 0 : 1;
    return " A full pack carries this load for "
        + (isOpen
            ? "at least " + Spoken.low(low * unit, decimals)
            : Spoken.between(low * unit, days.high() * unit, decimals))
        + (isShort ? " h" : " days")
        + ", a fifth kept back.";
  }

  private static void doubts(StringBuilder text, EnergyResult f) {
    OptionalDouble trip = f.outlook().roundTrip30dPct();
    if (trip.isPresent() && trip.getAsDouble() > MOST_ROUND_TRIP_PCT) {
      text.append(
          say(
              " More came out than went in (%.0f %%): look at the current sensor.",
              trip.getAsDouble()));
    } else if (trip.isPresent() && trip.getAsDouble() < LEAST_ROUND_TRIP_PCT) {
      text.append(
          say(
              " Only %.0f %% of the energy came back: the current sensor, an unseen load, or high"
                  + " resistance.",
              trip.getAsDouble()));
    }
    if (f.coveragePct() < LOW_COVERAGE_PCT) {
      text.append(say(" Only %.0f %% of the day was heard.", f.coveragePct()));
    }
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
