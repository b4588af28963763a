package org.cellherd.store.codec;

/**
 * Foresees the next value of one channel from its own past and from two hints about this very row,
 * such as the step of the current and what other cells just did. The weights are fitted as the
 * values come, by recursive least squares, so writer and reader have the same ones.
 *
 * <p>Plain double arithmetic in a fixed order: the same bits on every machine (Java 17 evaluates
 * strictly).
 */
final class Predictor {

  /** Weight of the past in the fit: a memory of some 500 rows. */
  private static final double MEMORY = 0.998;

  /** Uncertainty of the weights at the start: they move, but not at once to the first noise. */
  private static final double UNSURE = 0.1;

  /** Above this the fit has seen too little to narrow down, and would only grow for ever. */
  private static final double MOST_UNSURE = 1e6;

  /** After so many rows the weights hardly move; fitting at some rows only is half the work. */
  private static final int SETTLED = 400;

  private static final int FIT_EVERY = 4;

  private double w0 = 0.6;
  private double w1 = 0.3;
  private double w2;
  private double w3;
  private double w4;
  private double x0;
  private double x1;
  private double x2;
  private double x3;
  private double x4;

  /** How unsure the weights are together: of each pair, row by row. */
  private double s00 = UNSURE;

  private double s01;
  private double s02;
  private double s03;
  private double s04;
  private double s10;
  private double s11 = UNSURE;
  private double s12;
  private double s13;
  private double s14;
  private double s20;
  private double s21;
  private double s22 = UNSURE;
  private double s23;
  private double s24;
  private double s30;
  private double s31;
  private double s32;
  private double s33 = UNSURE;
  private double s34;
  private double s40;
  private double s41;
  private double s42;
  private double s43;
  private double s44 = UNSURE;

  private int rows;
  private double last;
  private double step;
  private double momentum;
  private double fast;
  private double slow;
  private double error;
  private double scale = 0.7;
  private double foreseen;

  /** Takes the first value. */
  void start(double value) {
    last = value;
    fast = value;
    slow = value;
  }

  double foresee(double hint, double otherHint) {
    x0 = fast - last;
    x1 = slow - last;
    x2 = momentum;
    x3 = hint;
    x4 = otherHint;
    double sum = last + w0 * x0 + w1 * x1 + w2 * x2 + w3 * x3 + w4 * x4;
    foreseen = sum;
    return sum;
  }

  /** How far the forecasts were off lately. */
  double scale() {
    return scale;
  }

  /** By how much the latest forecast was too low. */
  double error() {
    return error;
  }

  /** How the latest value differs from the one before. */
  double step() {
    return step;
  }

  double last() {
    return last;
  }

  void learn(double value) {
    error = value - foreseen;
    if (rows < SETTLED || rows % FIT_EVERY == 0) {
      fit();
    }
    rows++;
    double off = Math.abs(error);
    scale += (Math.min(off, 8 * scale + 1) - scale) * 0.05;
    step = value - last;
    last = value;
    if (off > 16 * scale + 4) {
      // A jump: the level before it says nothing any more.
      fast = value;
      slow = value;
      momentum = 0;
    } else {
      momentum = step;
      fast += (value - fast) * 0.3;
      slow += (value - slow) * 0.06;
    }
  }

  /**
   * Written out, each number a field of its own: this is a quarter of what reading the past costs,
   * and neither compiler has to look at the bounds of an index. The order of all additions is part
   * of the format.
   */
  private void fit() {
    double g0 = 0 + s00 * x0 + s01 * x1 + s02 * x2 + s03 * x3 + s04 * x4;
    double g1 = 0 + s10 * x0 + s11 * x1 + s12 * x2 + s13 * x3 + s14 * x4;
    double g2 = 0 + s20 * x0 + s21 * x1 + s22 * x2 + s23 * x3 + s24 * x4;
    double g3 = 0 + s30 * x0 + s31 * x1 + s32 * x2 + s33 * x3 + s34 * x4;
    double g4 = 0 + s40 * x0 + s41 * x1 + s42 * x2 + s43 * x3 + s44 * x4;
    double power = MEMORY + g0 * x0 + g1 * x1 + g2 * x2 + g3 * x3 + g4 * x4;
    if (power < MEMORY || !(power < 1e30)) {
      return;
    }
    boolean grow = s00 + s11 + s22 + s33 + s44 < MOST_UNSURE;
    double forget = grow ? 1 / MEMORY : 1;
    double scaled = error / power;
    w0 += g0 * scaled;
    w1 += g1 * scaled;
    w2 += g2 * scaled;
    w3 += g3 * scaled;
    w4 += g4 * scaled;
    double p0 = g0 / power;
    double p1 = g1 / power;
    double p2 = g2 / power;
    double p3 = g3 / power;
    double p4 = g4 / power;
    s00 = (s00 - p0 * g0) * forget;
    s01 = (s01 - p0 * g1) * forget;
    s02 = (s02 - p0 * g2) * forget;
    s03 = (s03 - p0 * g3) * forget;
    s04 = (s04 - p0 * g4) * forget;
    s10 = (s10 - p1 * g0) * forget;
    s11 = (s11 - p1 * g1) * forget;
    s12 = (s12 - p1 * g2) * forget;
    s13 = (s13 - p1 * g3) * forget;
    s14 = (s14 - p1 * g4) * forget;
    s20 = (s20 - p2 * g0) * forget;
    s21 = (s21 - p2 * g1) * forget;
    s22 = (s22 - p2 * g2) * forget;
    s23 = (s23 - p2 * g3) * forget;
    s24 = (s24 - p2 * g4) * forget;
    s30 = (s30 - p3 * g0) * forget;
    s31 = (s31 - p3 * g1) * forget;
    s32 = (s32 - p3 * g2) * forget;
    s33 = (s33 - p3 * g3) * forget;
    s34 = (s34 - p3 * g4) * forget;
    s40 = (s40 - p4 * g0) * forget;
    s41 = (s41 - p4 * g1) * forget;
    s42 = (s42 - p4 * g2) * forget;
    s43 = (s43 - p4 * g3) * forget;
    s44 = (s44 - p4 * g4) * forget;
  }
}
