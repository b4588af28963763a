package org.cellherd.alert.rule;

import org.cellherd.alert.state.Spoken;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;

/**
 * Where a cell's voltage will be while it rises at constant current.
 *
 * <p>In the upper knee of lithium iron phosphate the slope over charge grows in proportion to the
 * distance from the knee's foot: a straight line through the slopes of two published curves from
 * 3.45 to 3.60 V (Safari and Delacourt 2011; the Prada 2013 set) meets zero near 3.325 V. At
 * constant current that makes the voltage an exponential of time. Other chemistries are taken as
 * straight.
 */
final class Projection {
  private static final double FOOT_MV = 3325;
  private static final double LEAST_ABOVE_MV = 10;
  private static final double MOST_MV = 5000;

  private final boolean isCurved;

  Projection(PackPlan plan) {
    isCurved = plan.chemistry() == Chemistry.LFP;
  }

  /**
   * Minutes until a rising cell is at a limit: 0 when it is there, infinite when it does not rise.
   * In the knee the voltage bends upwards, so that it takes fewer minutes than a straight line.
   */
  double minutesTo(double mv, double mvPerMin, double limitMv) {
    double above = mv - FOOT_MV;
    if (mvPerMin <= 0 || limitMv <= mv) {
      return limitMv <= mv ? 0 : Double.POSITIVE_INFINITY;
    }
    return isCurved && above >= LEAST_ABOVE_MV
        ? Math.log((limitMv - FOOT_MV) / above) * above / mvPerMin
        : (limitMv - mv) / mvPerMin;
  }

  /**
   * The time to a limit in words: "about" along the known curve, "at most" along a straight line.
   */
  String minutes(double minutes, boolean isUp) {
    if (minutes < 1) {
      return "less than a minute";
    }
    String time = Spoken.duration(Math.round(minutes * 60_000));
    return (isCurved && isUp ? "about " : "at most ") + time;
  }

  /** Voltage after some minutes, mV; never below the present one. */
  double after(double mv, double mvPerMin, double minutes) {
    if (mvPerMin <= 0) {
      return mv;
    }
    double above = mv - FOOT_MV;
    if (!isCurved || above < LEAST_ABOVE_MV) {
      return mv + mvPerMin * minutes;
    }
    return Math.min(MOST_MV, FOOT_MV + above * Math.exp(mvPerMin / above * minutes));
  }
}
