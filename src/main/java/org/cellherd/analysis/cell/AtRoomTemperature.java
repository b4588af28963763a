package org.cellherd.analysis.cell;

import java.util.OptionalDouble;

/**
 * Brings a capacity measured in the cold to 25 degC: 0.6 % a kelvin (common practice for LFP, 0.4
 * to 1 % between makes). No correction from 25 to 40 degC; none is defined below 0 or above 40.
 */
public final class AtRoomTemperature {
  /** Share of the capacity that is lacking for each kelvin below. */
  public static final double PER_KELVIN = 0.006;

  private AtRoomTemperature() {}

  /** Capacity at 25 degC; empty where no correction is defined. */
  public static OptionalDouble ah(double ah, double tempC) {
    if (!(tempC >= 0 && tempC <= 40)) {
      return OptionalDouble.empty();
    }
    return OptionalDouble.of(tempC >= 25 ? ah : ah / (1 - PER_KELVIN * (25 - tempC)));
  }
}
