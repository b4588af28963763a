package org.cellherd.analysis.cell;

import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Interval;

/**
 * Brings a capacity measured in the cold to 25 degC: by 0.6 % a kelvin (common practice for LFP,
 * 0.4 to 1 % between makes). Other chemistries lose less, and so does a slow discharge, so that the
 * bounds go from no loss at all to 1 %. No correction from 25 to 40 degC; none is defined below 0
 * or above 40.
 */
public final class AtRoomTemperature {
  /** Share of the capacity that is lacking for each kelvin below. */
  public static final double PER_KELVIN = 0.006;

  public static final double LEAST_PER_KELVIN = 0;
  public static final double MOST_PER_KELVIN = 0.01;

  /** How far that share may be off, for each kelvin between two tests. */
  public static final double UNSURE_PER_KELVIN =
      Math.max(PER_KELVIN - LEAST_PER_KELVIN, MOST_PER_KELVIN - PER_KELVIN);

  private AtRoomTemperature() {}

  /** Capacity at 25 degC; empty where no correction is defined. */
  public static OptionalDouble ah(double ah, double tempC) {
    return isDefined(tempC)
        ? OptionalDouble.of(ah / share(PER_KELVIN, tempC))
        : OptionalDouble.empty();
  }

  /** The same with its bounds. */
  public static Optional<Interval> ah(Interval ah, double tempC) {
    return isDefined(tempC)
        ? Optional.of(
            new Interval(
                ah.low() / share(LEAST_PER_KELVIN, tempC),
                ah.mid() / share(PER_KELVIN, tempC),
                ah.high() / share(MOST_PER_KELVIN, tempC)))
        : Optional.empty();
  }

  /** The same by a share of its own; as it was measured where no correction is defined. */
  public static double ah(double ah, double tempC, double perKelvin) {
    return isDefined(tempC) ? ah / share(perKelvin, tempC) : ah;
  }

  private static boolean isDefined(double tempC) {
    return tempC >= 0 && tempC <= 40;
  }

  private static double share(double perKelvin, double tempC) {
    return 1 - perKelvin * Math.max(0, 25 - tempC);
  }
}
