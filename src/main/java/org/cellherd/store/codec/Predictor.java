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

  private void fit() {
    double power = MEMORY;
    for (int i = 0; i < INPUTS; i++) {
      double sum = 0;
      for (int j = 0; j < INPUTS; j++) {
        sum += spread[i * INPUTS + j] * input[j];
      }
      gain[i] = sum;
      power += sum * input[i];
    }
    if (power < MEMORY || !(power < 1e30)) {
      return;
    }
    double scaled = error / power;
    boolean grow = spread[0] + spread[6] + spread[12] + spread[18] + spread[24] < MOST_UNSURE;
    double forget = grow ? 1 / MEMORY : 1;
    for (int i = 0; i < INPUTS; i++) {
      weight[i] += gain[i] * scaled;
      double share = gain[i] / power;
      for (int j = 0; j < INPUTS; j++) {
        spread[i * INPUTS + j] = (spread[i * INPUTS + j] - share * gain[j]) * forget;
      }
    }
  }
}
