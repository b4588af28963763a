package org.cellherd.alert.rule;

import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.state.AlertText;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.moment.KneeRise;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * Where a cell's voltage will be while it rises at constant current, by published curves of its
 * chemistry.
 *
 * <p>In the upper knee of lithium iron phosphate the slope over charge grows in proportion to the
 * distance from the knee's foot ({@link CellCurve#footMv}). At constant current that makes the
 * voltage an exponential of time. Other chemistries are taken as straight.
 */
final class PublishedKnee {
  private static final double LEAST_ABOVE_MV = 10;

  private final double footMv;

  /** Cells leave their plateau downwards here. */
  private final double lowFootMv;

  PublishedKnee(PackPlan plan) {
    footMv = CellCurve.of(plan.chemistry()).footMv();
    lowFootMv = plan.chemistry().plateau().blindFromMv();
  }

  /**
   * Minutes until a cell that is at {@code mv} is at a limit, along the curve that this log shows
   * or, where that is sooner, along the published one; infinite when it does not move there.
   */
  double minutesTo(int cell, double mv, double limitMv, RuleInput input) {
    double seen = input.view().minutesTo(cell, (int) limitMv).orElse(Double.POSITIVE_INFINITY);
    double rate = input.cellRate(cell).orElse(0);
    return rate > 0
        ? Math.min(seen, minutesTo(mv, rate, limitMv))
        : Math.max(seen, minutesDown(mv, -rate, limitMv));
  }

  /**
   * Minutes until a falling cell is at a limit. In the lower knee, too, the slope grows with the
   * distance from the knee's foot. A fall that quickened more than that was a load that came, and
   * does not go on quickening.
   */
  double minutesDown(double mv, double mvPerMin, double limitMv) {
    if (limitMv >= mv) {
      return 0;
    }
    if (mvPerMin <= 0) {
      return Double.POSITIVE_INFINITY;
    }
    return rise(lowFootMv - mv, mvPerMin).minutesFor(mv - limitMv);
  }

  /**
   * Minutes until a rising cell is at a limit: 0 when it is there, infinite when it does not rise.
   * In the knee the voltage bends upwards, so that it takes fewer minutes than a straight line.
   */
  double minutesTo(double mv, double mvPerMin, double limitMv) {
    if (limitMv <= mv) {
      return 0;
    }
    return mvPerMin <= 0
        ? Double.POSITIVE_INFINITY
        : rise(mv - footMv, mvPerMin).minutesFor(limitMv - mv);
  }

  /** What comes, with its premise, for a cell that moves towards a limit. */
  String ahead(double mv, double limitMv, double minutes, boolean isUp) {
    String limit = Spoken.volts(limitMv);
    if (isUp ? mv >= limitMv : mv <= limitMv) {
      return "It has already reached " + limit + ".";
    }
    String premise = isUp ? AlertText.CHARGE_AHEAD : AlertText.LOAD_AHEAD;
    return premise + " it is at " + limit + " in " + minutes(minutes, isUp) + ".";
  }

  /**
   * The time to a limit in words: "about" along the known curve, "at most" along a straight line.
   */
  String minutes(double minutes, boolean isUp) {
    if (minutes < 1) {
      return "less than a minute";
    }
    long ms = Math.round(minutes * 60_000);
    return isCurved() && isUp
        ? "about " + Spoken.duration(ms)
        : "at most " + Spoken.shorterThan(ms);
  }

  private boolean isCurved() {
    return !Double.isNaN(footMv);
  }

  /** By how far the cell is beyond the knee's foot, mV, and how fast it goes on. */
  private KneeRise rise(double beyondMv, double mvPerMin) {
    boolean bends = isCurved() && beyondMv >= LEAST_ABOVE_MV;
    return new KneeRise(mvPerMin, bends ? mvPerMin / beyondMv : 0);
  }
}
