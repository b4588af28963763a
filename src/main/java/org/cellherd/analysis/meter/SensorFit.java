package org.cellherd.analysis.meter;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.cellherd.analysis.BoardCount;
import org.cellherd.analysis.CurrentFit;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.SensorErrors;

/** Which errors of a board's sensors agree with all that the owner's meter said. */
public final class SensorFit {

  /** Further off than this is another cell or another minute, no error of an input, mV. */
  static final double WORST_CELL_MV = 100;

  /** Further off than this is another place, K. */
  private static final double WORST_KELVIN = 15;

  /** Further off than this is another pack or minute, a share. */
  private static final double WORST_PACK = 0.05;

  private static final double MV_PER_V = 1000;

  private SensorFit() {}

  public static SensorErrors of(List<Compared> readings, double ratedAh) {
    List<String> contradictions = new ArrayList<>();
    Map<Integer, Interval> cells =
        offsets(readings, MeterReading.Quantity.CELL, MV_PER_V, WORST_CELL_MV, contradictions);
    Map<Integer, Interval> sensors =
        offsets(readings, MeterReading.Quantity.TEMPERATURE, 1, WORST_KELVIN, contradictions);
    Optional<Interval> pack = packGain(readings, contradictions);
    List<Compared> currents =
        readings.stream()
            .filter(
                c ->
                    is(c, MeterReading.Quantity.CURRENT)
                        || is(c, MeterReading.Quantity.CHARGE)
                        || is(c, MeterReading.Quantity.ENERGY))
            .toList();
    Optional<CurrentFit> current =
        currents.isEmpty() ? Optional.empty() : current(currents, ratedAh);
    if (current.isEmpty() && !currents.isEmpty()) {
      contradictions.add("current");
    }
    return new SensorErrors(current, cells, pack, sensors, contradictions);
  }

  private static boolean is(Compared compared, MeterReading.Quantity quantity) {
    return compared.board().isPresent() && compared.meter().quantity() == quantity;
  }

  private static Optional<CurrentFit> current(List<Compared> readings, double ratedAh) {
    CurrentFit usual = clipped(CurrentFit.usual(ratedAh), readings);
    CurrentFit found = usual.isEmpty() ? clipped(CurrentFit.worst(ratedAh), readings) : usual;
    return found.isEmpty() ? Optional.empty() : Optional.of(found);
  }

  private static CurrentFit clipped(CurrentFit begin, List<Compared> readings) {
    CurrentFit left = begin;
    for (Compared reading : readings) {
      left =
          left.agreeing(
              reading.board().orElseThrow(), reading.meter().value(), reading.meter().error());
    }
    return left;
  }

  /** By how much each cell or sensor that was measured reads too high. */
  private static Map<Integer, Interval> offsets(
      List<Compared> readings,
      MeterReading.Quantity quantity,
      double scale,
      double worst,
      List<String> contradictions) {
    Map<Integer, Interval> found = new TreeMap<>();
    for (int n :
        readings.stream()
            .filter(c -> is(c, quantity))
            .map(c -> c.meter().number())
            .distinct()
            .toList()) {
      offset(readings, quantity, n, scale, worst)
          .ifPresentOrElse(
              offset -> found.put(n, offset), () -> contradictions.add(quantity.word() + " " + n));
    }
    return found;
  }

  private static Optional<Interval> offset(
      List<Compared> readings,
      MeterReading.Quantity quantity,
      int number,
      double scale,
      double worst) {
    double low = -worst;
    double high = worst;
    for (Compared reading : readings) {
      if (is(reading, quantity) && reading.meter().number() == number) {
        BoardCount board = reading.board().orElseThrow();
        double difference = (board.value() - reading.meter().value()) * scale;
        double error = (board.error() + reading.meter().error()) * scale;
        low = Math.max(low, difference - error);
        high = Math.min(high, difference + error);
      }
    }
    return interval(low, high);
  }

  /** A divider is off by a share. */
  private static Optional<Interval> packGain(List<Compared> readings, List<String> contradictions) {
    double low = 1 - WORST_PACK;
    double high = 1 + WORST_PACK;
    boolean isRead = false;
    for (Compared reading : readings) {
      double volts = reading.meter().value();
      if (is(reading, MeterReading.Quantity.PACK) && volts > reading.meter().error()) {
        BoardCount board = reading.board().orElseThrow();
        double error = reading.meter().error();
        low = Math.max(low, (board.value() - board.error()) / (volts + error));
        high = Math.min(high, (board.value() + board.error()) / (volts - error));
        isRead = true;
      }
    }
    Optional<Interval> found = interval(low, high);
    if (isRead && found.isEmpty()) {
      contradictions.add(MeterReading.Quantity.PACK.word());
    }
    return isRead ? found : Optional.empty();
  }

  private static Optional<Interval> interval(double low, double high) {
    return low <= high ? Optional.of(new Interval(low, (low + high) / 2, high)) : Optional.empty();
  }
}
