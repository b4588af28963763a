package org.cellherd.analysis.meter;

import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.DoubleSupplier;
import org.cellherd.analysis.BoardCount;
import org.cellherd.analysis.fold.History;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;

/** What the board said, by the log, while a meter was read. */
final class BoardSaid {

  /** People write the minute of a reading: the board's movement around it counts as error. */
  private static final long AROUND_MS = 60_000;

  private BoardSaid() {}

  /** The board's side of a meter's reading, or empty where the log does not hold it. */
  static Optional<BoardCount> of(History history, String pack, MeterReading meter)
      throws StorageFailure {
    if (meter.quantity().isCounted()) {
      BoardCounter span = BoardCounter.of(history, pack, meter);
      return meter.quantity() == MeterReading.Quantity.CHARGE ? span.charge() : span.energy();
    }
    Extremes seen = new Extremes();
    history.replay(
        pack,
        meter.fromMs() - AROUND_MS,
        meter.toMs() + AROUND_MS,
        entry -> {
          if (entry instanceof Reading reading) {
            seen.add(value(reading, meter));
          }
        });
    return seen.count(step(meter.quantity()));
  }

  /** Half of what a board can usually print, in the quantity's unit (common practice). */
  private static double step(MeterReading.Quantity quantity) {
    return switch (quantity) {
      case CELL -> 0.0005;
      case CURRENT, PACK -> 0.005;
      default -> 0.5;
    };
  }

  private static OptionalDouble value(Reading reading, MeterReading meter) {
    int n = meter.number();
    return switch (meter.quantity()) {
      case CURRENT ->
          scaled(reading.currentMa().isPresent(), () -> reading.currentMa().getAsInt() / 1e3);
      case CELL -> scaled(reading.cells().has(n), () -> reading.cells().tenthMv(n) / 1e4);
      case PACK -> packV(reading);
      case TEMPERATURE ->
          scaled(reading.temperatures().has(n), () -> reading.temperatures().tenthC(n) / 10.0);
      case CHARGE, ENERGY -> OptionalDouble.empty();
    };
  }

  private static OptionalDouble scaled(boolean isThere, DoubleSupplier value) {
    return isThere ? OptionalDouble.of(value.getAsDouble()) : OptionalDouble.empty();
  }

  /** The pack's voltage, V: as measured, else the sum of all cells. */
  static OptionalDouble packV(Reading reading) {
    if (reading.packMv().isPresent()) {
      return OptionalDouble.of(reading.packMv().getAsInt() / 1e3);
    }
    CellVoltages cells = reading.cells();
    double sum = 0;
    for (int n = 1; n <= cells.count(); n++) {
      if (!cells.has(n)) {
        return OptionalDouble.empty();
      }
      sum += cells.tenthMv(n) / 1e4;
    }
    return cells.count() == 0 ? OptionalDouble.empty() : OptionalDouble.of(sum);
  }

  /** Least and most of what was seen. */
  private static final class Extremes {
    private double least = Double.POSITIVE_INFINITY;
    private double most = Double.NEGATIVE_INFINITY;

    void add(OptionalDouble value) {
      value.ifPresent(
          v -> {
            least = Math.min(least, v);
            most = Math.max(most, v);
          });
    }

    Optional<BoardCount> count(double step) {
      return least > most
          ? Optional.empty()
          : Optional.of(new BoardCount((least + most) / 2, (most - least) / 2 + step, 1));
    }
  }
}
