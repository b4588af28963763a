package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.analysis.meter.MeterReading;
import org.cellherd.app.Stop;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** What a meter said, by options: one quantity, of one or several cells or sensors. */
final class MeterOptions {

  @Option(
      names = "--current",
      paramLabel = "A",
      description = "Current through the pack by a clamp or shunt; positive charges.")
  private @Nullable Double current;

  @Option(
      names = "--cell",
      paramLabel = "N=V",
      description = "Voltage at the terminals of cell N; may be repeated.")
  private Map<Integer, Double> cells = new LinkedHashMap<>();

  @Option(names = "--voltage", paramLabel = "V", description = "Voltage of the whole pack.")
  private @Nullable Double voltage;

  @Option(
      names = "--charge",
      paramLabel = "AH",
      description = "Net Ah into the pack by another counter, between --from and --to.")
  private @Nullable Double charge;

  @Option(
      names = "--energy",
      paramLabel = "WH",
      description = "Net Wh into the pack by another counter, between --from and --to.")
  private @Nullable Double energy;

  @Option(
      names = "--temperature",
      paramLabel = "N=C",
      description = "Temperature at the board's sensor N; may be repeated.")
  private Map<Integer, Double> temperatures = new LinkedHashMap<>();

  @Option(
      names = "--accuracy",
      paramLabel = "TEXT",
      description = "Accuracy on the meter's sheet: \"0.5 %% + 2 mV\".")
  private @Nullable String accuracy;

  private record Given(MeterReading.Quantity quantity, int number, double value) {}

  /** True when a value was given. */
  boolean isGiven() {
    return !given().isEmpty();
  }

  /**
   * The readings.
   *
   * @throws Stop where they are none, of several quantities, or without an accuracy
   */
  List<MeterReading> readings(long fromMs, long toMs) {
    List<Given> given = given();
    if (given.stream().map(Given::quantity).distinct().count() != 1) {
      throw Stop.usage("give one quantity at a time, because each has an accuracy of its own");
    }
    MeterReading.Quantity quantity = given.get(0).quantity();
    String sheet = accuracy;
    if (sheet == null) {
      throw Stop.usage(
          "--accuracy is missing; the meter's sheet has it: 0.5 % + 0.02 " + quantity.unit());
    }
    try {
      MeterReading.Accuracy stated = MeterReading.Accuracy.of(sheet, quantity.unit());
      return given.stream()
          .map(g -> new MeterReading(quantity, g.number(), g.value(), stated, fromMs, toMs))
          .toList();
    } catch (IllegalArgumentException wrong) {
      throw Stop.usage("--accuracy: " + wrong.getMessage());
    }
  }

  /**
   * Refuses what no cell, pack or sensor can be, by the limits that rows of a file have.
   *
   * @throws Stop with the unit that is wanted
   */
  void refuseOtherUnits(PackPlan plan) {
    for (Given one : given()) {
      double most =
          switch (one.quantity()) {
            case CELL -> ImportFit.HIGHEST_CELL_V;
            case PACK -> ImportFit.HIGHEST_CELL_V * plan.series();
            case CURRENT -> ImportFit.mostA(plan);
            case TEMPERATURE -> ImportFit.HOTTEST_C;
            case CHARGE, ENERGY -> Double.MAX_VALUE;
          };
      if (Math.abs(one.value()) > most) {
        String unit = one.quantity().unit();
        throw Stop.usage(
            "--"
                + one.quantity().word()
                + ": "
                + Spoken.number(one.value(), 1)
                + " "
                + unit
                + " is out of reach, at most "
                + Spoken.low(most, 0)
                + " "
                + unit
                + ": give it in "
                + unit);
      }
    }
  }

  /** True for what needs {@code --from} and {@code --to}. */
  boolean isCounted() {
    return given().stream().anyMatch(g -> g.quantity().isCounted());
  }

  /** The highest cell that was given, 0 for none. */
  int highestCell() {
    return cells.keySet().stream().mapToInt(Integer::intValue).max().orElse(0);
  }

  private List<Given> given() {
    List<Given> all = new ArrayList<>();
    add(all, MeterReading.Quantity.CURRENT, current);
    add(all, MeterReading.Quantity.PACK, voltage);
    add(all, MeterReading.Quantity.CHARGE, charge);
    add(all, MeterReading.Quantity.ENERGY, energy);
    cells.forEach(
        (n, v) -> all.add(new Given(MeterReading.Quantity.CELL, positive(n, "--cell"), v)));
    temperatures.forEach(
        (n, c) ->
            all.add(new Given(MeterReading.Quantity.TEMPERATURE, positive(n, "--temperature"), c)));
    return all;
  }

  private static void add(List<Given> all, MeterReading.Quantity quantity, @Nullable Double value) {
    if (value != null) {
      all.add(new Given(quantity, 0, value));
    }
  }

  private static int positive(int number, String option) {
    if (number < 1) {
      throw Stop.usage(option + " " + number + ": cells and sensors count from 1");
    }
    return number;
  }
}
