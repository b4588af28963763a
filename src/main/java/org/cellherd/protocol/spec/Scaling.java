package org.cellherd.protocol.spec;

import java.math.BigDecimal;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * {@code inside = (number x times + plus) / over}. Scale and offset are kept as exact whole
 * numbers, so that 0.1 is a tenth and halves round as written.
 */
record Scaling(double times, double plus, double over) implements Conversion {

  /** Number as it is. */
  public static final Scaling NONE = new Scaling(1, 0, 1);

  /** Scale and offset in a written unit, and the factor from there to the unit inside. */
  public static Scaling of(double scale, double offset, double factor) {
    BigDecimal exactScale = BigDecimal.valueOf(scale).multiply(BigDecimal.valueOf(factor));
    BigDecimal exactOffset = BigDecimal.valueOf(offset).multiply(BigDecimal.valueOf(factor));
    int decimals =
        Math.max(
            0,
            Math.max(
                exactScale.stripTrailingZeros().scale(), exactOffset.stripTrailingZeros().scale()));
    if (decimals > 12) {
      return new Scaling(exactScale.doubleValue(), exactOffset.doubleValue(), 1);
    }
    return new Scaling(
        exactScale.movePointRight(decimals).doubleValue(),
        exactOffset.movePointRight(decimals).doubleValue(),
        BigDecimal.ONE.movePointRight(decimals).doubleValue());
  }

  @Override
  public OptionalDouble toInside(double number) {
    return OptionalDouble.of((number * times + plus) / over);
  }

  /** The value inside to its last digit; empty where scale or offset are no exact decimals. */
  Optional<BigDecimal> exactly(BigDecimal number) {
    boolean isExact = times == Math.rint(times) && plus == Math.rint(plus) && over >= 1;
    return isExact
        ? Optional.of(
            number
                .multiply(new BigDecimal(times))
                .add(new BigDecimal(plus))
                .divide(new BigDecimal(over)))
        : Optional.empty();
  }

  @Override
  public double toNumber(double inside) {
    return (inside * over - plus) / times;
  }
}
