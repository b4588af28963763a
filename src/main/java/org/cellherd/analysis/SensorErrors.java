package org.cellherd.analysis;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;

/**
 * What the owner's meter has shown of the errors of a board's sensors. It is taken to hold for the
 * whole log of the board: shunts and dividers age slowly.
 *
 * @param current of the current sensor; empty where no meter was read on it, or the readings
 *     contradict one another
 * @param cellMv by how much the input of a cell reads too high, mV, for the cells that were
 *     measured
 * @param contradictions quantities on which no error that a board can have agrees with all readings
 */
public record SensorErrors(
    Optional<CurrentFit> current, Map<Integer, Interval> cellMv, List<String> contradictions) {

  /** No meter was read. */
  public static final SensorErrors UNKNOWN =
      new SensorErrors(Optional.empty(), Map.of(), List.of());

  /** Inputs of a board are within this when they are right, mV (common practice, no source). */
  private static final double USUAL_CELL_MV = 5;

  /** Copies. */
  public SensorErrors {
    cellMv = Map.copyOf(cellMv);
    contradictions = List.copyOf(contradictions);
  }

  /** By how much a cell's voltage is corrected, mV; 0 where its input may be right. */
  public double correctionMv(int cell) {
    Interval error = cellMv.get(cell);
    return error == null || (error.low() <= USUAL_CELL_MV && error.high() >= -USUAL_CELL_MV)
        ? 0
        : -error.mid();
  }

  /** What error is left in currents that went through {@link #corrected}. */
  public Optional<CurrentFit> remaining() {
    return current.map(CurrentFit::remaining);
  }

  /** A reading without the errors that are known. A current printed as 0 stays 0. */
  public Reading corrected(Reading reading) {
    if (equals(UNKNOWN)) {
      return reading;
    }
    Reading.Builder corrected = reading.toBuilder();
    int printed = reading.currentMa().orElse(0);
    if (printed != 0) {
      current.ifPresent(
          error -> corrected.currentMa((int) Math.round(error.trueA(printed / 1000.0) * 1000)));
    }
    if (cellMv.keySet().stream().anyMatch(n -> correctionMv(n) != 0)) {
      corrected.cells(corrected(reading.cells()));
    }
    return corrected.build();
  }

  private CellVoltages corrected(CellVoltages cells) {
    OptionalInt[] tenthMv = new OptionalInt[cells.count()];
    for (int n = 1; n <= tenthMv.length; n++) {
      tenthMv[n - 1] =
          cells.has(n)
              ? OptionalInt.of((int) Math.round(cells.tenthMv(n) + 10 * correctionMv(n)))
              : OptionalInt.empty();
    }
    return CellVoltages.ofOptional(tenthMv);
  }
}
