package org.cellherd.analysis.balance;

import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.cellherd.analysis.Interval;
import org.jspecify.annotations.Nullable;

/**
 * By how many Ah an hour the greatest lead falls at the top: seen in the data, else expected from
 * the plan. Boards bleed 30 to 200 mA, and many let odd and even cells take turns (common practice,
 * no source).
 *
 * @param decline A by which the lead falls
 * @param source where it comes from, in words
 * @param isSeen true when the data show it
 */
record BleedRate(Estimate decline, String source, boolean isSeen) {

  /** The scale of the knee may be so far off. */
  private static final double SLOPE_ERROR = 0.2;

  /**
   * What boards bleed a cell by (common practice, no source), A. Where a lead fell faster or more
   * was let in, that was not bled: a load drew, a cell relaxed or leaks, or the sun went.
   */
  static final Interval BOARDS_A = new Interval(0.03, 0.1, 0.2);

  /**
   * Resistors of 5 %, and a current that is stated at one voltage of the cell and flows at another
   * that differs by as much (arithmetic).
   */
  static final double TOLERANCE = 0.07;

  /** The best that is known; the narrowest wins, what was seen before what was told. */
  static BleedRate best(
      FadingLine hold, Trips trips, OptionalDouble duty, OptionalInt configuredMa) {
    BleedRate told = told(duty, configuredMa);
    BleedRate best = told;
    double planned = configuredMa.orElse(0) / 1000.0;
    double most = planned > 0 ? (1 + TOLERANCE) * planned : BOARDS_A.high();
    Estimate line = within(declining(hold), most);
    if (line != null && line.relative() < best.decline.relative()) {
      best = new BleedRate(line, "seen in the fall of the lead", true);
    }
    Estimate bounced = within(trips.bledAmperes(), most);
    if (bounced != null && bounced.relative() < best.decline.relative()) {
      best = new BleedRate(bounced, "seen in the charge that each trip lets in", true);
    }
    return best;
  }

  /** As much of it as a board can bleed; null where it is surely more. */
  private static @Nullable Estimate within(@Nullable Estimate seen, double mostA) {
    if (seen == null || seen.mid() - seen.half() > mostA) {
      return null;
    }
    Interval bounds = seen.interval();
    return bounds.high() <= mostA
        ? seen
        : Estimate.of(new Interval(bounds.low(), Math.min(seen.mid(), mostA), mostA));
  }

  private static @Nullable Estimate declining(FadingLine hold) {
    if (hold.count() < 20 || hold.span() < 0.33) {
      return null;
    }
    Estimate slope = hold.slope();
    double fall = -slope.mid();
    return fall <= 0 ? null : new Estimate(fall, slope.half() + SLOPE_ERROR * fall);
  }

  private static BleedRate told(OptionalDouble duty, OptionalInt configuredMa) {
    if (configuredMa.isEmpty() || configuredMa.getAsInt() <= 0) {
      return new BleedRate(
          new Estimate(0.1, 0.085), "not reported, boards bleed 30 to 200 mA", false);
    }
    double amperes = configuredMa.getAsInt() / 1000.0;
    if (duty.isPresent()) {
      double mean = amperes * duty.getAsDouble();
      return new BleedRate(new Estimate(mean, 0.15 * mean), "from the plan", false);
    }
    return new BleedRate(
        new Estimate(0.75 * amperes, 0.35 * amperes),
        "from the plan, share of time unknown",
        false);
  }

  /** A while bleeding is counted: only while a cell bleeds where that is known. */
  Estimate whileBooked(OptionalDouble duty) {
    double share = Math.max(0.05, duty.orElse(1));
    return new Estimate(decline.mid() / share, decline.half() / share);
  }
}
