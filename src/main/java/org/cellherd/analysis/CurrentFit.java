package org.cellherd.analysis;

import java.util.ArrayList;
import java.util.List;
import java.util.function.ToDoubleFunction;
import org.jspecify.annotations.Nullable;

/**
 * Which errors the board's current sensor may have: all pairs of offset and gain that agree with
 * what is known, as a convex polygon. The board says {@code gain x true + offset}. Each meter
 * reading clips it by two lines, so that bounds on any charge follow from the corners alone.
 * Immutable.
 */
public final class CurrentFit {

  /** Gain of a board's shunt and amplifier: right within 2 % (common practice, no source). */
  public static final double USUAL_GAIN = 0.02;

  /** Some 0.2 mV of amplifier offset at a shunt of 1 mohm (common practice, no source). */
  private static final double USUAL_OFFSET_A = 0.2;

  /** Small packs have larger shunts: the same at C/300. */
  private static final double USUAL_OFFSET_OF_RATED = 1 / 300.0;

  private static final double WORST_GAIN = 0.15;
  private static final double WORST_OFFSET_A = 1;
  private static final double WORST_OFFSET_OF_RATED = 0.05;

  private final List<Corner> corners;

  private CurrentFit(List<Corner> corners) {
    this.corners = corners;
  }

  /** One possible pair of errors. */
  private record Corner(double offsetA, double gain) {
    Corner towards(Corner other, double share) {
      return new Corner(
          offsetA + share * (other.offsetA - offsetA), gain + share * (other.gain - gain));
    }
  }

  /** A sensor as boards have it. */
  public static CurrentFit usual(double ratedAh) {
    return box(usualOffsetA(ratedAh), USUAL_GAIN);
  }

  /** The offset that a board's sensor may have where nothing is learnt, A either way. */
  public static double usualOffsetA(double ratedAh) {
    return Math.min(USUAL_OFFSET_A, USUAL_OFFSET_OF_RATED * ratedAh);
  }

  /** A sensor that may be worse than boards have it: what meters must agree on at the least. */
  public static CurrentFit worst(double ratedAh) {
    return box(Math.max(WORST_OFFSET_A, WORST_OFFSET_OF_RATED * ratedAh), WORST_GAIN);
  }

  /** A sensor of an offset up to so many A, a gain within this of 1. */
  static CurrentFit box(double offsetA, double gain) {
    return new CurrentFit(
        List.of(
            new Corner(-offsetA, 1 - gain),
            new Corner(offsetA, 1 - gain),
            new Corner(offsetA, 1 + gain),
            new Corner(-offsetA, 1 + gain)));
  }

  /** What is left of it where a meter and the board counted the same charge or current. */
  public CurrentFit agreeing(BoardCount board, double meter, double meterError) {
    // board within its error = gain x (meter within its error) + offset x hours; gains are positive
    List<Corner> notTooLow =
        clip(
            corners,
            c ->
                board.value()
                    + board.error()
                    - c.gain() * (meter - meterError)
                    - c.offsetA() * board.hours());
    return new CurrentFit(
        clip(
            notTooLow,
            c ->
                c.gain() * (meter + meterError)
                    + c.offsetA() * board.hours()
                    - board.value()
                    + board.error()));
  }

  private interface Side {
    /** Not negative for what agrees; linear. */
    double of(Corner corner);
  }

  private static List<Corner> clip(List<Corner> corners, Side side) {
    List<Corner> left = new ArrayList<>();
    for (int i = 0; i < corners.size(); i++) {
      Corner here = corners.get(i);
      Corner next = corners.get((i + 1) % corners.size());
      double s = side.of(here);
      double t = side.of(next);
      if (s >= 0) {
        left.add(here);
      }
      if (s >= 0 != t >= 0) {
        left.add(here.towards(next, s / (s - t)));
      }
    }
    return left;
  }

  /** True when nothing agrees: the readings contradict one another. */
  public boolean isEmpty() {
    return corners.isEmpty();
  }

  /** Bounds on the offset, A; the board prints so much at no current. */
  public Interval offsetA() {
    return over(Corner::offsetA);
  }

  /** Bounds on the gain; the board prints so many A for each true A. */
  public Interval gain() {
    return over(Corner::gain);
  }

  /**
   * Bounds on the true charge where the board counted some.
   *
   * @param boardAh what the board counted, Ah, positive into the pack
   * @param hours over which it counted
   */
  public Interval trueAh(double boardAh, double hours) {
    return over(c -> (boardAh - c.offsetA() * hours) / c.gain());
  }

  /** The true current, A, by the middle of all that agree. */
  public double trueA(double boardA) {
    return (boardA - offsetA().mid()) / gain().mid();
  }

  /** What errors are left in currents that went through {@link #trueA}. */
  CurrentFit remaining() {
    double offset = offsetA().mid();
    double gain = gain().mid();
    return new CurrentFit(
        corners.stream()
            .map(c -> new Corner((c.offsetA() - offset) / gain, c.gain() / gain))
            .toList());
  }

  private Interval over(ToDoubleFunction<Corner> part) {
    double low = corners.stream().mapToDouble(part).min().orElseThrow();
    double high = corners.stream().mapToDouble(part).max().orElseThrow();
    return new Interval(low, (low + high) / 2, high);
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof CurrentFit that && corners.equals(that.corners);
  }

  @Override
  public int hashCode() {
    return corners.hashCode();
  }
}
