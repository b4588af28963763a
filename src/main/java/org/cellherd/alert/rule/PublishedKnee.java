package org.cellherd.alert.rule;

import org.cellherd.alert.scene.Scene;
import org.cellherd.analysis.balance.KneeRise;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * Where a cell's voltage will be while it rises at constant current, by published curves of its
 * chemistry.
 *
 * <p>In the upper knee of lithium iron phosphate the slope over charge grows in proportion to the
 * distance from the knee's foot: a straight line through the slopes of two published curves from
 * 3.45 to 3.60 V (Safari and Delacourt 2011; the Prada 2013 set) meets zero near 3.325 V. At
 * constant current that makes the voltage an exponential of time. Other chemistries are taken as
 * straight.
 */
final class PublishedKnee {
  private static final double FOOT_MV = 3325;
  private static final double LEAST_ABOVE_MV = 10;
  private static final double MOST_MV = 5000;

  private final boolean isCurved;

  PublishedKnee(PackPlan plan) {
    isCurved = plan.chemistry() == Chemistry.LFP;
  }

  /**
   * Minutes until a cell of the scene is at a limit, along the curve that this log shows or, where
   * that is sooner, along the published one; infinite when it does not move there.
   */
  double minutesTo(int cell, double limitMv, Scene scene) {
    double seen = scene.view().minutesTo(cell, (int) limitMv).orElse(Double.POSITIVE_INFINITY);
    double rate = scene.cellRate(cell).orElse(0);
    double mv = scene.cells().orElseThrow().mv(cell);
    return rate > 0 ? Math.min(seen, minutesTo(mv, rate, limitMv)) : seen;
  }

  /**
   * Minutes until a rising cell is at a limit: 0 when it is there, infinite when it does not rise.
   * In the knee the voltage bends upwards, so that it takes fewer minutes than a straight line.
   */
  double minutesTo(double mv, double mvPerMin, double limitMv) {
    if (limitMv <= mv) {
      return 0;
    }
    return mvPerMin <= 0 ? Double.POSITIVE_INFINITY : rise(mv, mvPerMin).minutesFor(limitMv - mv);
  }

  /**
   * The time to a limit in words: "about" along the known curve, "at most" along a straight line.
   */
  String minutes(double minutes, boolean isUp) {
    if (minutes < 1) {
      return "less than a minute";
    }
    long ms = Math.round(minutes * 60_000);
    return isCurved && isUp ? "about " + Spoken.duration(ms) : "at most " + Spoken.shorterThan(ms);
  }

  /** Voltage after some minutes, mV; never below the present one. */
  double after(double mv, double mvPerMin, double minutes) {
    if (mvPerMin <= 0) {
      return mv;
    }
    KneeRise rise = rise(mv, mvPerMin);
    double after = mv + rise.wayAfter(minutes);
    return rise.growthPerMin() > 0 ? Math.min(MOST_MV, after) : after;
  }

  private KneeRise rise(double mv, double mvPerMin) {
    double above = mv - FOOT_MV;
    return new KneeRise(mvPerMin, isCurved && above >= LEAST_ABOVE_MV ? mvPerMin / above : 0);
  }
}
