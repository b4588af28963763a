package org.cellherd.analysis.discharge;

import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Spoken;

/**
 * By how much a pack's voltage drops more under the greater of two currents, as a resistance: the
 * difference of the mean voltages over the same charge, divided by that of the currents. It holds
 * slow polarisation too, so it is more than what a short step of the load shows.
 *
 * @param ohm of the whole pack; empty when refused
 * @param reason why refused; empty text when not
 */
record RateDrop(Optional<Interval> ohm, String reason) {

  /** Near full and near empty the curves are steep and small errors of charge are large ones. */
  private static final double FROM = 0.2;

  private static final double TO = 0.8;
  private static final int STEPS = 60;

  /** A current sensor is off by about so much (common practice, 0.5 to 2 %). */
  static final double CURRENT_ERROR = 0.01;

  /** Resistance moves by some percent a kelvin; within this it does not hide a drop. */
  private static final double SAME_TEMP_K = 5;

  /** What two tests of one pack tell, in either order. */
  public static RateDrop between(TestedDischarge one, TestedDischarge other) {
    boolean isFirstSlow = one.amps() <= other.amps();
    TestedDischarge slow = isFirstSlow ? one : other;
    TestedDischarge fast = isFirstSlow ? other : one;
    if (one.curve().series() != other.curve().series()) {
      return refuse("the two have a different number of cells");
    }
    if (Math.abs(one.tempC() - other.tempC()) > SAME_TEMP_K) {
      return refuse("their temperatures differ by more than 5 K");
    }
    double error = CURRENT_ERROR * (slow.amps() + fast.amps());
    double amps = fast.amps() - slow.amps();
    if (amps <= error) {
      return refuse("their currents are equal within their errors");
    }
    Optional<Interval> volts = drop(slow, fast);
    if (volts.isEmpty()) {
      return refuse("they have too little charge in common");
    }
    Interval v = volts.get();
    if (v.low() <= 0) {
      return refuse(
          String.format(
              Locale.ROOT,
              "their voltages differ by %.0f mV, within their errors (%s)",
              v.mid() * 1000,
              Spoken.between(v.low() * 1000, v.high() * 1000, 0)));
    }
    return new RateDrop(
        Optional.of(
            new Interval(v.low() / (amps + error), v.mid() / amps, v.high() / (amps - error))),
        "");
  }

  private static RateDrop refuse(String reason) {
    return new RateDrop(Optional.empty(), reason);
  }

  /** Mean drop in V, with the board's error in both and with how unequally full they began. */
  private static Optional<Interval> drop(TestedDischarge slow, TestedDischarge fast) {
    double doubt = slow.ah().high() - slow.ah().mid() + fast.ah().high() - fast.ah().mid();
    OptionalDouble mid = mean(slow, fast, 0);
    OptionalDouble early = mean(slow, fast, -doubt);
    OptionalDouble late = mean(slow, fast, doubt);
    if (mid.isEmpty() || early.isEmpty() || late.isEmpty()) {
      return Optional.empty();
    }
    double error = 2 * AnalysisSettings.BOARD_FLOOR_MV / 1000.0 * slow.curve().series();
    double m = mid.getAsDouble();
    double low = Math.min(m, Math.min(early.getAsDouble(), late.getAsDouble()));
    double high = Math.max(m, Math.max(early.getAsDouble(), late.getAsDouble()));
    return Optional.of(new Interval(low - error, m, high + error));
  }

  private static OptionalDouble mean(TestedDischarge slow, TestedDischarge fast, double shift) {
    double least = Math.min(slow.curve().end().ah(), fast.curve().end().ah());
    double sum = 0;
    for (int i = 0; i <= STEPS; i++) {
      double ah = least * (FROM + (TO - FROM) * i / STEPS);
      OptionalDouble a = slow.curve().voltsAt(ah);
      OptionalDouble b = fast.curve().voltsAt(ah + shift);
      if (a.isEmpty() || b.isEmpty()) {
        return OptionalDouble.empty();
      }
      sum += a.getAsDouble() - b.getAsDouble();
    }
    return OptionalDouble.of(sum / (STEPS + 1));
  }

  /** Lost as heat in a test, Wh: current times drop times charge; empty when refused. */
  public Optional<Interval> heatWh(TestedDischarge test) {
    return ohm.map(r -> r.times(test.amps() * test.ah().mid()));
  }
}
