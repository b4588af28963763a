package org.cellherd.analysis.capacity;

import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.AtRoomTemperature;
import org.cellherd.analysis.result.CapacityResult.Compared;
import org.cellherd.analysis.result.CapacityResult.Limit;
import org.jspecify.annotations.Nullable;

/**
 * Whether two tests may be compared, and what comes of it. Same cut-off within 50 mV, same start,
 * temperatures within 5 K and rates within 2 to 1 (common practice, no source); beyond that a
 * temperature correction is made and marked, and two rates give Peukert's exponent.
 *
 * @param before the earlier test
 * @param now the later test
 */
record Comparison(CapacityTest before, CapacityTest now) {
  private static final double SAME_END_MV = 50;
  private static final double SAME_TEMP_K = 5;
  private static final double SAME_RATE = 2;
  private static final double TWO_RATES = 1.5;

  /** Why the two may not be compared; null when they may. */
  @Nullable String obstacle() {
    if (Math.abs(before.endMv() - now.endMv()) > SAME_END_MV) {
      return "they ended at different cell voltages";
    }
    if (before.startKind() != now.startKind()) {
      return "the charges before them ended differently";
    }
    if (before.limit() == Limit.CHARGE || now.limit() == Limit.CHARGE) {
      return "imbalance kept the pack from giving what it holds";
    }
    if (rateRatio() > SAME_RATE) {
      return "their currents differ by more than 2 to 1";
    }
    if (temperatures() == Temperatures.UNKNOWN) {
      return "a temperature is missing or outside 0 to 40 °C";
    }
    return null;
  }

  boolean isComparable() {
    return obstacle() == null;
  }

  private enum Temperatures {
    SAME,
    CORRECTED,
    UNKNOWN
  }

  private Temperatures temperatures() {
    boolean isTold = !Double.isNaN(before.tempC()) && !Double.isNaN(now.tempC());
    if (!isTold) {
      return Double.isNaN(before.tempC()) == Double.isNaN(now.tempC())
          ? Temperatures.SAME
          : Temperatures.UNKNOWN;
    }
    if (Math.abs(before.tempC() - now.tempC()) <= SAME_TEMP_K) {
      return Temperatures.SAME;
    }
    return atRoom(before).isPresent() && atRoom(now).isPresent()
        ? Temperatures.CORRECTED
        : Temperatures.UNKNOWN;
  }

  private static OptionalDouble atRoom(CapacityTest test) {
    return AtRoomTemperature.ah(test.ah().mid(), test.tempC());
  }

  private double rateRatio() {
    return Math.max(before.amps(), now.amps()) / Math.min(before.amps(), now.amps());
  }

  /** The later capacity as a share of the earlier; empty unless comparable. */
  OptionalDouble ratio() {
    if (!isComparable()) {
      return OptionalDouble.empty();
    }
    if (temperatures() == Temperatures.CORRECTED) {
      return OptionalDouble.of(atRoom(now).orElseThrow() / atRoom(before).orElseThrow());
    }
    return OptionalDouble.of(now.ah().mid() / before.ah().mid());
  }

  /** Peukert's exponent where only the rates differ enough, and it is surely above 1. */
  Optional<Interval> exponent() {
    boolean isSameEnd = Math.abs(before.endMv() - now.endMv()) <= SAME_END_MV;
    boolean isWhole = before.limit() == Limit.CAPACITY && now.limit() == Limit.CAPACITY;
    boolean isSame = isSameEnd && isWhole && before.startKind() == now.startKind();
    if (!isSame || temperatures() != Temperatures.SAME || rateRatio() < TWO_RATES) {
      return Optional.empty();
    }
    boolean isFaster = before.amps() < now.amps();
    CapacityTest slow = isFaster ? before : now;
    CapacityTest fast = isFaster ? now : before;
    double unsure =
        Math.hypot(slow.unsureAh() / slow.ah().mid(), fast.unsureAh() / fast.ah().mid());
    if (unsure >= 1) {
      return Optional.empty();
    }
    double ratio = slow.ah().mid() / fast.ah().mid();
    Interval exponent =
        new Interval(
            peukert(ratio * (1 - unsure), slow.amps(), fast.amps()),
            peukert(ratio, slow.amps(), fast.amps()),
            peukert(ratio * (1 + unsure), slow.amps(), fast.amps()));
    return exponent.low() > 1 ? Optional.of(exponent) : Optional.empty();
  }

  /**
   * Peukert's exponent from two constant-current tests. For lithium-ion cells it fits only a narrow
   * range of currents near one temperature (Omar et al., Energies 2013, 6, 5625), so it is shown
   * and never used outside the two currents.
   *
   * @param ratio capacity at the slow current over that at the fast one
   */
  static double peukert(double ratio, double slowA, double fastA) {
    return 1 + Math.log(ratio) / Math.log(fastA / slowA);
  }

  /**
   * As a part of the later test's result.
   *
   * @param beforeMs when the earlier ended, ms UTC
   */
  Compared compared(long beforeMs, double ratedAh) {
    return new Compared(
        beforeMs,
        before.ah().mid(),
        before.amps() / ratedAh,
        isComparable(),
        Optional.ofNullable(obstacle()),
        temperatures() == Temperatures.CORRECTED,
        ratio().isPresent() ? OptionalDouble.of(100 * ratio().getAsDouble()) : ratio(),
        exponent());
  }
}
