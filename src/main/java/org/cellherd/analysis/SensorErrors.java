package org.cellherd.analysis;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.jspecify.annotations.Nullable;

/**
 * What the owner's meter has shown of the errors of a board's sensors. It is taken to hold for the
 * whole log of the board: shunts and dividers age slowly.
 *
 * @param current of the current sensor; empty where no meter was read on it, or the readings
 *     contradict one another
 * @param cellMv by how much the input of a cell reads too high, mV, for the cells that were
 *     measured
 * @param packGain what the board prints for each volt of the pack; empty where no meter was read on
 *     it, or the readings contradict one another
 * @param kelvin by how much a temperature sensor reads too high, for those that were measured
 * @param contradictions quantities on which no error that a board can have agrees with all readings
 */
public record SensorErrors(
    Optional<CurrentFit> current,
    Map<Integer, Interval> cellMv,
    Optional<Interval> packGain,
    Map<Integer, Interval> kelvin,
    List<String> contradictions) {

  /** No meter was read. */
  public static final SensorErrors UNKNOWN =
      new SensorErrors(Optional.empty(), Map.of(), Optional.empty(), Map.of(), List.of());

  /** A board's divider of the pack's voltage is right within this share (common practice). */
  private static final double USUAL_PACK = 0.005;

  /** Sensors of boards are within this when they are right, K (common practice, no source). */
  private static final double USUAL_KELVIN = 2;

  /** Inputs of a board are within this when they are right, mV (common practice, no source). */
  private static final double USUAL_CELL_MV = 5;

  public SensorErrors {
    cellMv = Map.copyOf(cellMv);
    kelvin = Map.copyOf(kelvin);
    contradictions = List.copyOf(contradictions);
  }

  /** By how much a cell's voltage is corrected, mV; 0 where its input may be right. */
  public double correctionMv(int cell) {
    return correction(cellMv.get(cell), USUAL_CELL_MV);
  }

  /** By how much a temperature is corrected, K; 0 where its sensor may be right. */
  public double correctionKelvin(int sensor) {
    return correction(kelvin.get(sensor), USUAL_KELVIN);
  }

  private static double correction(@Nullable Interval error, double usual) {
    return error == null || (error.low() <= usual && error.high() >= -usual) ? 0 : -error.mid();
  }

  /** What the pack's voltage is divided by; 1 where the board may be right. */
  public double packDivisor() {
    return packGain
        .filter(gain -> gain.low() > 1 + USUAL_PACK || gain.high() < 1 - USUAL_PACK)
        .map(Interval::mid)
        .orElse(1.0);
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
    if (packDivisor() != 1 && reading.packMv().isPresent()) {
      corrected.packMv((int) Math.round(reading.packMv().getAsInt() / packDivisor()));
    }
    if (kelvin.keySet().stream().anyMatch(n -> correctionKelvin(n) != 0)) {
      corrected.temperatures(corrected(reading.temperatures()));
    }
    return corrected.build();
  }

  private Temperatures corrected(Temperatures sensors) {
    OptionalInt[] tenthC = new OptionalInt[sensors.count()];
    for (int n = 1; n <= tenthC.length; n++) {
      tenthC[n - 1] =
          sensors.has(n)
              ? OptionalInt.of((int) Math.round(sensors.tenthC(n) + 10 * correctionKelvin(n)))
              : OptionalInt.empty();
    }
    return Temperatures.ofOptional(tenthC);
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
