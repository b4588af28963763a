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

  private SensorFit() {}

  /** What follows from readings. */
  public static SensorErrors of(List<Compared> readings, double ratedAh) {
    List<String> contradictions = new ArrayList<>();
    Map<Integer, Interval> cells = new TreeMap<>();
    for (int n :
        readings.stream()
            .filter(c -> is(c, Quantity.CELL))
            .map(c -> c.meter().number())
            .distinct()
            .toList()) {
      cell(readings, n)
          .ifPresentOrElse(found -> cells.put(n, found), () -> contradictions.add("cell " + n));
    }
    List<Compared> currents =
        readings.stream()
            .filter(
                c -> is(c, Quantity.CURRENT) || is(c, Quantity.CHARGE) || is(c, Quantity.ENERGY))
            .toList();
    Optional<CurrentFit> current =
        currents.isEmpty() ? Optional.empty() : current(currents, ratedAh);
    if (current.isEmpty() && !currents.isEmpty()) {
      contradictions.add("current");
    }
    return new SensorErrors(current, cells, contradictions);
  }

  private static boolean is(Compared compared, Quantity quantity) {
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

  private static Optional<Interval> cell(List<Compared> readings, int number) {
    double low = -WORST_CELL_MV;
    double high = WORST_CELL_MV;
    for (Compared reading : readings) {
      if (is(reading, Quantity.CELL) && reading.meter().number() == number) {
        BoardCount board = reading.board().orElseThrow();
        double difference = (board.value() - reading.meter().value()) * 1000;
        double error = (board.error() + reading.meter().error()) * 1000;
        low = Math.max(low, difference - error);
        high = Math.min(high, difference + error);
      }
    }
    return low <= high ? Optional.of(new Interval(low, (low + high) / 2, high)) : Optional.empty();
  }
}
