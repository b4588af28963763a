package org.cellherd.analysis.balance;

import org.cellherd.analysis.state.State;
import org.jspecify.annotations.Nullable;

/**
 * Ah between the levels of this pack's own knee, learned from cells that rose through two
 * neighbouring levels under one steady current. It turns the distance of two resting voltages at
 * the top into Ah. Levels are moved down by what the current that was seen then adds to a voltage.
 */
final class KneeMap {
  private static final double KEPT_WEIGHT = 20;
  private static final double SCALE_ERROR = 0.06;

  /** A knee that is seen soon after a current began looks steeper than it is. */
  private static final double YOUNG_ERROR = 0.4;

  private final int[] levels;
  private final double[] stepAh;
  private final double[] weight;
  private final double[] amperes;
  private final double[] youth;

  KneeMap(Crossings crossings) {
    levels = new int[crossings.levels()];
    for (int i = 0; i < levels.length; i++) {
      levels[i] = crossings.levelMv(i);
    }
    stepAh = new double[levels.length];
    weight = new double[levels.length];
    amperes = new double[levels.length];
    youth = new double[levels.length];
  }

  /** A cell has just crossed a level: learns from it and from the crossing before. */
  void learn(Crossings crossings, int cell, int level) {
    if (level == 0) {
      return;
    }
    Crossing upper = crossings.get(cell, level);
    Crossing lower = crossings.get(cell, level - 1);
    if (upper == null || lower == null || !isPair(lower, upper)) {
      return;
    }
    double ah = upper.countAh() - lower.countAh();
    double w = weight[level] + 1;
    stepAh[level] += (ah - stepAh[level]) / w;
    amperes[level] += ((upper.amperes() + lower.amperes()) / 2 - amperes[level]) / w;
    youth[level] += (lower.youth() - youth[level]) / w;
    weight[level] = Math.min(KEPT_WEIGHT, w);
  }

  private static boolean isPair(Crossing lower, Crossing upper) {
    return lower.isSettled()
        && upper.isSettled()
        && upper.countAh() > lower.countAh()
        && upper.heldMs() == lower.heldMs()
        && Math.abs(upper.amperes() - lower.amperes()) <= 0.25 * lower.amperes();
  }

  /** True when the part of the knee at and above a resting voltage is known. */
  boolean covers(double mv, double milliohm) {
    int lowest = lowestKnown();
    return lowest > 0 && mv >= levels[lowest - 1] - amperes[lowest] * milliohm;
  }

  /** First step of the known run that ends at the highest known level; -1 when none is known. */
  private int lowestKnown() {
    int lowest = highestKnown();
    if (lowest == 0) {
      return -1;
    }
    while (lowest > 1 && weight[lowest - 1] > 0) {
      lowest--;
    }
    return lowest;
  }

  private int highestKnown() {
    int top = levels.length - 1;
    while (top > 0 && weight[top] == 0) {
      top--;
    }
    return top;
  }

  /** Ah above the lowest known level of a cell that rests at a voltage. */
  double ahAt(double mv, double milliohm) {
    int lowest = lowestKnown();
    int highest = highestKnown();
    double ah = 0;
    for (int i = lowest; i <= highest; i++) {
      double shift = amperes[i] * milliohm;
      double low = levels[i - 1] - shift;
      double high = levels[i] - shift;
      if (mv <= high) {
        return ah + stepAh[i] * (mv - low) / (high - low);
      }
      ah += stepAh[i];
    }
    return ah + beyondAh(mv - (levels[highest] - amperes[highest] * milliohm), highest);
  }

  /**
   * Ah for some mV above the highest known level: the slope goes on growing as it did before, which
   * both published iron-phosphate curves that were tried do.
   */
  private double beyondAh(double mv, int highest) {
    double last = stepSlope(highest);
    double growth = growth(highest);
    double start = last + growth * (levels[highest] - levels[highest - 1]) / 2;
    return growth < 1e-9 ? mv / start : Math.log1p(growth * mv / start) / growth;
  }

  /** By how much the slope grows with each mV at the top of the known run; not negative. */
  private double growth(int highest) {
    if (highest < 2 || weight[highest - 1] == 0) {
      return 0;
    }
    double between = (levels[highest] - levels[highest - 2]) / 2.0;
    return Math.max(0, (stepSlope(highest) - stepSlope(highest - 1)) / between);
  }

  private double stepSlope(int step) {
    return (levels[step] - levels[step - 1]) / stepAh[step];
  }

  /** Slope at a resting voltage, mV an Ah; 0 when not known. */
  double slopeAt(double mv, double milliohm) {
    int lowest = lowestKnown();
    if (lowest < 1) {
      return 0;
    }
    int highest = highestKnown();
    for (int i = lowest; i <= highest; i++) {
      if (mv <= levels[i] - amperes[i] * milliohm) {
        return stepSlope(i);
      }
    }
    return stepSlope(highest)
        + growth(highest) * (mv - (levels[highest] - amperes[highest] * milliohm));
  }

  /** Slope around a level by index, mV an Ah; 0 when not known. */
  double slopeAround(int level) {
    int above = level + 1;
    if (above < levels.length && weight[above] > 0) {
      return (levels[above] - levels[level]) / stepAh[above];
    }
    return level > 0 && weight[level] > 0 ? (levels[level] - levels[level - 1]) / stepAh[level] : 0;
  }

  void state(State io) {
    io.each(stepAh);
    io.each(weight);
    io.each(amperes);
    io.each(youth);
  }

  /**
   * Ah between two resting voltages; null when the lower one lies below the known part.
   *
   * @param ohm resistance by which the levels are moved, and how far off it may be
   * @param errorMv how far off each voltage may be
   */
  @Nullable Estimate leadAh(double upperMv, double lowerMv, Estimate ohm, double errorMv) {
    double milliohm = ohm.mid() * 1000;
    if (!covers(lowerMv, milliohm)) {
      return null;
    }
    double ah = ahAt(upperMv, milliohm) - ahAt(lowerMv, milliohm);
    double slope = slopeAt(lowerMv, milliohm);
    double slopeUp = slopeAt(upperMv, milliohm);
    if (slope <= 0 || slopeUp <= 0) {
      return null;
    }
    double shift = amperes[lowestKnown()] * ohm.half() * 1000;
    double scale = SCALE_ERROR + YOUNG_ERROR * youth[lowestKnown()];
    double half = Math.hypot(errorMv / slope, errorMv / slopeUp) + scale * Math.abs(ah);
    return new Estimate(ah, half + shift * Math.abs(1 / slope - 1 / slopeUp));
  }
}
