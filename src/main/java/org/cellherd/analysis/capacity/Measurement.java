package org.cellherd.analysis.capacity;

import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.flow.CurrentError;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * Turns a discharge into a capacity with bounds, or says why it cannot and what would make a good
 * test.
 *
 * @param ah the capacity; empty when refused
 * @param offsetAh how much of it the offset of the board's current may be
 * @param unsureAh half of what the bounds leave open beside the gain and the start, which two tests
 *     of one board after equal charges share
 * @param reason why refused; empty text when not
 */
record Measurement(Optional<Interval> ah, Interval offsetAh, double unsureAh, String reason) {
  /** Slower, the errors of a board's current and the pack's own losses are most of what is seen. */
  private static final double LEAST_RATE = 0.01;

  private static final double MOST_RATE = 5;

  /** A cloud less, a motor that brakes: charge that was put back counts, within limits. */
  private static final double MOST_BACK_SHARE = 0.05;

  private static final double MOST_UNSURE = 0.05;

  /** A capacity known no better than this either way says less than the label. */
  private static final double MOST_OPEN = 0.15;

  /** From full to empty. */
  static Measurement whole(Discharge d, PackPlan plan, int deadZoneMa, CurrentError current) {
    Interval offsetA = current.offsetA();
    double hours = d.printedHours();
    Interval offset = offsetA.times(hours);
    double unheard = Math.hypot(d.bridgedHours() * d.meanA() / 2, d.unheardAh());
    double loose = Math.hypot(unheard, d.samplingAh());
    String obstacle = obstacle(d, plan, loose);
    if (!obstacle.isEmpty()) {
      return new Measurement(Optional.empty(), offset, Double.NaN, obstacle);
    }
    double mid = d.ah() + offset.mid();
    double low = d.ah() + offset.low() - loose;
    double unseen = d.quietHours() * deadZoneMa / 1000;
    double high = d.ah() + offset.high() + loose + unseen;
    if (high - low > 2 * MOST_OPEN * mid) {
      return new Measurement(Optional.empty(), offset, Double.NaN, tooSlow(d, offset));
    }
    Interval gain = current.gain();
    return new Measurement(
        Optional.of(
            new Interval(
                low / gain.high(),
                mid / gain.mid(),
                high / gain.low() / (1 - startDoubt(d.startKind())))),
        offset,
        (high - low) / 2,
        "");
  }

  /**
   * From full to a resting voltage that says how much is left.
   *
   * @param restMv lowest cell at rest; {@link Double#MAX_VALUE} when it never rested
   */
  static Measurement partial(Measurement drawn, Discharge d, PackPlan plan, double restMv) {
    Optional<Interval> left = CellCurve.of(plan.chemistry()).leftPct(restMv);
    if (drawn.ah().isEmpty()) {
      return drawn;
    }
    if (restMv == Double.MAX_VALUE) {
      return drawn.refused(
          "it was charged again before it was empty; discharge to the cut-off without a charge in"
              + " between");
    }
    if (left.isEmpty()) {
      return drawn.refused(
          say(
              "stopped with charge left, and %.2f V at rest does not tell how much; discharge to"
                  + " the cut-off",
              restMv / 1000));
    }
    double share = 1 - left.get().mid() / 100;
    double endDoubt = (left.get().high() - left.get().low()) / 200;
    double unsure = Math.hypot(startDoubt(d.startKind()), endDoubt) / share;
    if (unsure > MOST_UNSURE) {
      return drawn.refused(
          say(
              "stopped with charge left: an estimate would be off by %.0f %%, more than 5;"
                  + " discharge to the cut-off",
              unsure * 100));
    }
    Interval ah = drawn.ah().get();
    Interval grown =
        new Interval(
            ah.low() / (1 - left.get().low() / 100),
            ah.mid() / share,
            ah.high() / (1 - left.get().high() / 100));
    return new Measurement(
        Optional.of(grown), drawn.offsetAh(), drawn.unsureAh() + endDoubt * ah.mid(), "");
  }

  /**
   * How much fuller the pack could have been; by the tail current is what data sheets call full.
   */
  private static double startDoubt(ChargeTermination kind) {
    return switch (kind) {
      case TAIL, FIRST_CELL -> 0;
      case ABSORB_TIMER -> 0.03;
      case UNKNOWN, NONE -> 0.05;
    };
  }

  private static String obstacle(Discharge d, PackPlan plan, double loose) {
    double rate = d.meanA() / plan.ratedAh();
    if (d.chargedAh() > MOST_BACK_SHARE * d.ah()) {
      return say(
          "%.1f Ah were put back in between; take the charger off until a cell is empty",
          d.chargedAh());
    }
    if (loose > MOST_UNSURE * d.ah()) {
      return say(
          "only %.1f %% of it was heard and %.1f Ah more or less may have flowed; a log without"
              + " gaps settles it",
          d.coveragePct(), loose);
    }
    if (!(rate >= LEAST_RATE && rate <= MOST_RATE)) {
      return say(
          "its mean current was %.3fC; draw %s A",
          rate, Spoken.between(LEAST_RATE * plan.ratedAh(), MOST_RATE * plan.ratedAh(), 1));
    }
    return "";
  }

  private static String tooSlow(Discharge d, Interval offset) {
    return say(
        "an offset of the board's current may be %.1f Ah of it; draw %s A or more",
        Math.max(offset.high(), -offset.low()), Spoken.high(3 * d.meanA(), 1));
  }

  /** True when so much was put back that this is no single discharge any more. */
  static boolean isBroken(Discharge d, PackPlan plan) {
    return d.chargedSinceTopAh() > MOST_BACK_SHARE * Math.max(d.ah(), 0.2 * plan.ratedAh());
  }

  private Measurement refused(String why) {
    return new Measurement(Optional.empty(), offsetAh, Double.NaN, why);
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
