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

  private static final int INPUTS = 5;

  /** Weight of the past in the fit: a memory of some 500 rows. */
  private static final double MEMORY = 0.998;

  /** Uncertainty of the weights at the start: they move, but not at once to the first noise. */
  private static final double UNSURE = 0.1;

  /** Above this the fit has seen too little to narrow down, and would only grow for ever. */
  private static final double MOST_UNSURE = 1e6;

  /** After so many rows the weights hardly move; fitting at some rows only is half the work. */
  private static final int SETTLED = 400;

  private static final int FIT_EVERY = 4;

  private final double[] weight = {0.6, 0.3, 0, 0, 0};
  private final double[] input = new double[INPUTS];
  private final double[] gain = new double[INPUTS];
  private final double[] spread = new double[INPUTS * INPUTS];

  private int rows;
  private double last;
  private double step;
  private double momentum;
  private double fast;
  private double slow;
  private double error;
  private double scale = 0.7;
  private double foreseen;

  Predictor() {
    for (int i = 0; i < INPUTS; i++) {
      spread[i * INPUTS + i] = UNSURE;
    }
  }

  /** Takes the first value. */
  void start(double value) {
    last = value;
    fast = value;
    slow = value;
  }

  /** The next value as foreseen. */
  double foresee(double hint, double otherHint) {
    input[0] = fast - last;
    input[1] = slow - last;
    input[2] = momentum;
    input[3] = hint;
    input[4] = otherHint;
    double sum =
        last
            + weight[0] * input[0]
            + weight[1] * input[1]
            + weight[2] * input[2]
            + weight[3] * input[3]
            + weight[4] * input[4];
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

  /** The latest value. */
  double last() {
    return last;
  }

  /** Takes the value that came. */
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
   * Written out: the quick compiler, which a run has, looks at the bounds of each index. The order
   * of all additions is part of the format.
   */
  private void fit() {
    double[] s = spread;
    double x0 = input[0];
    double x1 = input[1];
    double x2 = input[2];
    double x3 = input[3];
    double x4 = input[4];
    double g0 = 0 + s[0] * x0 + s[1] * x1 + s[2] * x2 + s[3] * x3 + s[4] * x4;
    double g1 = 0 + s[5] * x0 + s[6] * x1 + s[7] * x2 + s[8] * x3 + s[9] * x4;
    double g2 = 0 + s[10] * x0 + s[11] * x1 + s[12] * x2 + s[13] * x3 + s[14] * x4;
    double g3 = 0 + s[15] * x0 + s[16] * x1 + s[17] * x2 + s[18] * x3 + s[19] * x4;
    double g4 = 0 + s[20] * x0 + s[21] * x1 + s[22] * x2 + s[23] * x3 + s[24] * x4;
    double power = MEMORY + g0 * x0 + g1 * x1 + g2 * x2 + g3 * x3 + g4 * x4;
    if (power < MEMORY || !(power < 1e30)) {
      return;
    }
    gain[0] = g0;
    gain[1] = g1;
    gain[2] = g2;
    gain[3] = g3;
    gain[4] = g4;
    learn(error / power, power);
  }

  private void learn(double scaled, double power) {
    double[] s = spread;
    double[] g = gain;
    boolean grow = s[0] + s[6] + s[12] + s[18] + s[24] < MOST_UNSURE;
    double forget = grow ? 1 / MEMORY : 1;
    for (int i = 0; i < INPUTS; i++) {
      weight[i] += g[i] * scaled;
      double share = g[i] / power;
      int at = i * INPUTS;
      s[at] = (s[at] - share * g[0]) * forget;
      s[at + 1] = (s[at + 1] - share * g[1]) * forget;
      s[at + 2] = (s[at + 2] - share * g[2]) * forget;
      s[at + 3] = (s[at + 3] - share * g[3]) * forget;
      s[at + 4] = (s[at + 4] - share * g[4]) * forget;
    }
  }
}
