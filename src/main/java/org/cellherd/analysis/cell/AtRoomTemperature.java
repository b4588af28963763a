package org.cellherd.analysis.cell;

import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Interval;

/**
 * Brings a capacity measured in the cold to 25 degC: 0.6 % a kelvin (common practice for LFP, 0.4
 * to 1 % between makes). No correction from 25 to 40 degC; none is defined below 0 or above 40.
 */
public final class AtRoomTemperature {
  /** Share of the capacity that is lacking for each kelvin below. */
  public static final double PER_KELVIN = 0.006;

  private static final double LEAST_PER_KELVIN = 0.004;
  private static final double MOST_PER_KELVIN = 0.01;

  private AtRoomTemperature() {}

  /** Capacity at 25 degC; empty where no correction is defined. */
  public static OptionalDouble ah(double ah, double tempC) {
    if (!(tempC >= 0 && tempC <= 40)) {
      return OptionalDouble.empty();
    }
    return OptionalDouble.of(ah / share(PER_KELVIN, tempC));
  }

  /** The same with its bounds, which the makes open further. */
  public static Optional<Interval> ah(Interval ah, double tempC) {
    OptionalDouble mid = ah(ah.mid(), tempC);
    return mid.isEmpty()
        ? Optional.empty()
        : Optional.of(
            new Interval(
                ah.low() / share(LEAST_PER_KELVIN, tempC),
                mid.getAsDouble(),
                ah.high() / share(MOST_PER_KELVIN, tempC)));
  }

  private static double share(double perKelvin, double tempC) {
    return 1 - perKelvin * Math.max(0, 25 - tempC);
  }
}
