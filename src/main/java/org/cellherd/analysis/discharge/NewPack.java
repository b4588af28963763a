package org.cellherd.analysis.discharge;

import java.util.OptionalDouble;

/**
 * What a new pack would cost, by its seller.
 *
 * @param price in the currency of the other prices
 * @param wh usable energy
 * @param lifeKwh energy over its life
 */
public record NewPack(OptionalDouble price, OptionalDouble wh, OptionalDouble lifeKwh) {

  /** Price of a usable Wh. */
  public OptionalDouble perWh() {
    return ratio(price, wh);
  }

  /** Price of a kWh of its life. */
  public OptionalDouble perLifeKwh() {
    return ratio(price, lifeKwh);
  }

  private static OptionalDouble ratio(OptionalDouble of, OptionalDouble by) {
    return of.isPresent() && by.isPresent()
        ? OptionalDouble.of(of.getAsDouble() / by.getAsDouble())
        : OptionalDouble.empty();
  }
}
