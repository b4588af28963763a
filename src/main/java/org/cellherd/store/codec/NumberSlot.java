package org.cellherd.store.codec;

/** One channel of numbers: foreseen, and the rest coded, in units of its divisor. */
final class NumberSlot {
  private final Predictor predictor = new Predictor();
  private final Residuals residuals;
  private final long divisor;
  private boolean started;
  private long units;

  NumberSlot(Residuals residuals, long divisor) {
    this.residuals = residuals;
    this.divisor = divisor;
  }

  /**
   * Codes the next value.
   *
   * @param value what to write; ignored when reading
   * @param neighbour a value of the same kind just before, where the first value is looked for
   */
  long code(long value, long neighbour, double hint, double otherHint) {
    if (!started) {
      started = true;
      units = neighbour / divisor + residuals.first(value / divisor - neighbour / divisor);
      predictor.start((double) units);
      return units * divisor;
    }
    double foreseen = predictor.foresee(hint, otherHint);
    long nearest = (long) Math.rint(foreseen);
    long residual =
        residuals.code(value / divisor - nearest, foreseen - nearest, predictor.scale());
    units = nearest + residual;
    predictor.learn((double) units);
    return units * divisor;
  }

  /** The latest value, in units of the divisor. */
  double last() {
    return predictor.last();
  }

  /** How the latest value differs from the one before, in units of the divisor. */
  double step() {
    return predictor.step();
  }

  /** By how much the latest forecast was too low, in units of the divisor. */
  double error() {
    return predictor.error();
  }
}
