package org.cellherd.protocol.spec;

/**
 * The range beyond which a value is doubted where its description states no bound of its own: no
 * single cell in use reaches it, no sensor at a cell, no share of a charge (common practice, no
 * source). The value is kept, so that limits are judged by it all the same.
 *
 * @param least smallest value inside
 * @param most largest value inside
 */
record Usual(double least, double most) {
  private static final Usual ANY = new Usual(Double.NEGATIVE_INFINITY, Double.POSITIVE_INFINITY);

  /** A cell 0 to 6 V, a temperature -60 to 150 degC, a state of charge 0 to 100 %; else all. */
  private static final Usual CELL = new Usual(0, 60_000);

  private static final Usual TEMPERATURE = new Usual(-600, 1500);
  private static final Usual SOC = new Usual(0, 1000);

  /** The range of a target, in its units inside. */
  public static Usual of(Target target) {
    return switch (target) {
      case CELL -> CELL;
      case TEMPERATURE -> TEMPERATURE;
      case SOC -> SOC;
      default -> ANY;
    };
  }

  /** True when a value lies beyond, on a side where no bound is stated. */
  boolean isExceeded(double inside, Field.Limits stated) {
    return (inside < least && Double.isInfinite(stated.least()))
        || (inside > most && Double.isInfinite(stated.most()));
  }

  /** True when a value of which nothing is stated lies beyond. */
  public boolean isExceeded(double inside) {
    return isExceeded(inside, Field.Limits.NONE);
  }
}
