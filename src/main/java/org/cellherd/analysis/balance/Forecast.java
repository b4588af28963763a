package org.cellherd.analysis.balance;

import java.util.Optional;
import org.cellherd.analysis.Interval;

/**
 * Hours at the top until balanced.
 *
 * @param remainingAh Ah of lead above what the balanced spread allows
 * @param hours to the end of the holding time that balance asks for
 */
record Forecast(Interval remainingAh, Optional<Interval> hours) {

  private static final double LEAST_RATE_A = 0.001;

  /** Noise makes the holding time begin late, or again. */
  private static final double LATE = 2.2;

  /** It may have begun already. */
  private static final double EARLY = 0.65;

  /** The spread is judged by its mean of some minutes, which lags. */
  private static final double LIKELY = 1.3;

  /** The pack is even already: only the holding time is left, unless it has to begin again. */
  static Forecast holding(double hours, double holdHours) {
    double left = Math.max(0, hours);
    return new Forecast(
        Interval.exactly(0), Optional.of(new Interval(left * 0.9, left, left + holdHours)));
  }

  /** Balanced. */
  static Forecast done() {
    return new Forecast(Interval.exactly(0), Optional.of(Interval.exactly(0)));
  }

  /**
   * By lead over rate.
   *
   * @param lead greatest lead, Ah
   * @param allowedAh lead that the balanced spread allows, Ah
   * @param rate by which the lead falls
   * @param holdHours how long balance must then be held
   */
  static Forecast of(Interval lead, double allowedAh, Estimate rate, double holdHours) {
    Interval left =
        new Interval(
            Math.max(0, lead.low() - allowedAh),
            Math.max(0, lead.mid() - allowedAh),
            Math.max(0, lead.high() - allowedAh));
    double slow = rate.mid() - rate.half();
    double mid = Math.max(LEAST_RATE_A, rate.mid());
    double fast = Math.max(mid, rate.mid() + rate.half());
    Interval hours =
        new Interval(
            left.low() / fast + EARLY * holdHours,
            left.mid() / mid + LIKELY * holdHours,
            slow > LEAST_RATE_A || left.high() == 0
                ? left.high() / Math.max(LEAST_RATE_A, slow) + LATE * holdHours
                : Double.POSITIVE_INFINITY);
    return new Forecast(left, Optional.of(hours));
  }

  /**
   * By the line through the lead of the last hours: an error of the knee's scale falls out, since
   * lead and slope carry it alike.
   */
  static Forecast ofLine(FadingLine line, Interval lead, double allowedAh, double holdHours) {
    double now = line.atLast();
    Estimate slope = line.slope();
    double fall = -slope.mid();
    double relative = Math.hypot(slope.half() / fall, 0.14);
    double slowest = relative < 1 ? 1 / (1 - relative) : Double.POSITIVE_INFINITY;
    double hours = Math.max(0, now - allowedAh) / fall;
    Interval eta =
        new Interval(
            hours * (1 - Math.min(1, relative)) + EARLY * holdHours,
            hours + LIKELY * holdHours,
            hours <= 0 ? LATE * holdHours : hours * slowest + LATE * holdHours);
    Forecast wide = of(lead, allowedAh, new Estimate(fall, slope.half()), holdHours);
    return new Forecast(wide.remainingAh, Optional.of(eta));
  }

  /** The same with the time for which balance must then be held. */
  Forecast held(double holdHours) {
    return new Forecast(
        remainingAh,
        hours.map(
            h ->
                new Interval(
                    h.low() + EARLY * holdHours,
                    h.mid() + LIKELY * holdHours,
                    h.high() + LATE * holdHours)));
  }

  /** The same where nobody knows that anything is bled: it may never end. */
  Forecast withoutEnd() {
    return new Forecast(
        remainingAh, hours.map(h -> new Interval(h.low(), h.mid(), Double.POSITIVE_INFINITY)));
  }

  /**
   * The same; without an end where that would come before the lead can be even by its fall so far:
   * a cell that leaks as fast as others are bled holds it up.
   */
  Forecast notBefore(double soonest) {
    return hours.filter(h -> h.high() < soonest).isPresent() ? withoutEnd() : this;
  }

  /** Width of the hours against their middle; infinite when there are none. */
  double width() {
    return hours
        .map(h -> h.mid() <= 0 ? 0 : (h.high() - h.low()) / h.mid())
        .orElse(Double.POSITIVE_INFINITY);
  }
}
