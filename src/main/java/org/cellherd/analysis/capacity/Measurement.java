package org.cellherd.analysis.capacity;

import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.flow.ChargeEnd;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * Turns a discharge into a capacity with bounds, or says why it cannot.
 *
 * @param ah the capacity; empty when refused
 * @param reason why refused; empty text when not
 */
record Measurement(Optional<Interval> ah, String reason) {
  /** A board's current sensor is off by about so much (common practice, 0.5 to 2 %). */
  static final double SENSOR_SHARE = 0.01;

  private static final double LEAST_COVERAGE_PCT = 99.5;
  private static final double LEAST_RATE = 0.02;
  private static final double MOST_RATE = 1.25;
  private static final double MOST_BACK_SHARE = 0.01;
  private static final double MOST_UNSURE = 0.05;

  /** From full to empty. */
  static Measurement whole(Discharge d, PackPlan plan, int deadZoneMa) {
    String obstacle = obstacle(d, plan);
    if (!obstacle.isEmpty()) {
      return new Measurement(Optional.empty(), obstacle);
    }
    double ah = d.ah();
    double loose = ah * SENSOR_SHARE + d.bridgedHours() * d.meanA() / 2;
    double unseen = d.quietHours() * deadZoneMa / 1000 + d.unheardHours() * d.meanA();
    double high = (ah + loose + unseen) / (1 - startDoubt(d.startKind()));
    return new Measurement(Optional.of(new Interval(ah - loose, ah, high)), "");
  }

  /**
   * From full to a resting voltage that says how much is left.
   *
   * @param restMv lowest cell at rest; {@link Double#MAX_VALUE} when it never rested
   */
  static Measurement partial(Discharge d, PackPlan plan, int deadZoneMa, double restMv) {
    Measurement drawn = whole(d, plan, deadZoneMa);
    Optional<Interval> left = LowEnd.pct(plan.chemistry(), restMv);
    if (drawn.ah().isEmpty()) {
      return drawn;
    }
    if (restMv == Double.MAX_VALUE) {
      return new Measurement(Optional.empty(), "it was charged again before it was empty");
    }
    if (left.isEmpty()) {
      return refuse(
          "stopped with charge left, and %.2f V at rest does not tell how much", restMv / 1000);
    }
    double share = 1 - left.get().mid() / 100;
    double endDoubt = (left.get().high() - left.get().low()) / 200;
    double unsure = Math.hypot(startDoubt(d.startKind()), endDoubt) / share;
    if (unsure > MOST_UNSURE) {
      return refuse(
          "stopped with charge left: an estimate would be off by %.0f %%, more than 5",
          unsure * 100);
    }
    Interval ah = drawn.ah().get();
    return new Measurement(
        Optional.of(
            new Interval(
                ah.low() / (1 - left.get().low() / 100),
                ah.mid() / share,
                ah.high() / (1 - left.get().high() / 100))),
        "");
  }

  /** How much fuller the pack could have been at the start. */
  private static double startDoubt(ChargeEnd.Kind kind) {
    return switch (kind) {
      case TAIL -> 0.01;
      case ABSORB_TIMER -> 0.03;
      case UNKNOWN, NONE -> 0.05;
      case FIRST_CELL -> 0;
    };
  }

  private static String obstacle(Discharge d, PackPlan plan) {
    double rate = d.meanA() / plan.ratedAh();
    if (d.chargedAh() > MOST_BACK_SHARE * d.ah()) {
      return say("%.1f Ah were put back in between", d.chargedAh());
    }
    if (d.coveragePct() < LEAST_COVERAGE_PCT) {
      return say("only %.1f %% of the discharge was heard, 99.5 %% is needed", d.coveragePct());
    }
    if (!(rate >= LEAST_RATE && rate <= MOST_RATE)) {
      return say(
          "a mean current of %.3f C is outside %s C",
          rate, Spoken.between(LEAST_RATE, MOST_RATE, 2));
    }
    return "";
  }

  /** True when so much was put back that this is no single discharge any more. */
  static boolean isBroken(Discharge d, PackPlan plan) {
    return d.chargedSinceTopAh() > MOST_BACK_SHARE * Math.max(d.ah(), 0.2 * plan.ratedAh());
  }

  private static Measurement refuse(String format, double value) {
    return new Measurement(Optional.empty(), say(format, value));
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
