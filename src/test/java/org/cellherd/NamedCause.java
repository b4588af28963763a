package org.cellherd;

import java.util.Comparator;
import java.util.List;
import java.util.OptionalInt;
import org.cellherd.alert.Alert;
import org.cellherd.pack.Facts;
import org.cellherd.sim.Exceedance;
import org.cellherd.sim.Fault;

/**
 * Whether an alert names what is wrong: beside the right rule the very cell, sense wire, strap or
 * sensor, and where a rule has many reasons the right one.
 */
final class NamedCause {
  private final SimulatedRun run;

  NamedCause(SimulatedRun run) {
    this.run = run;
  }

  boolean isIn(Alert alert) {
    List<Fault> faults = run.scenario().faults();
    return faults.isEmpty() ? isFirstBeyond(alert) : isOf(faults.get(0), alert);
  }

  private static boolean isOf(Fault fault, Alert alert) {
    Facts evidence = alert.evidence();
    int cell = alert.key().cell();
    int number = fault.number();
    return switch (fault.kind()) {
      case LEAK, SHORT -> cell == number;
      case BAD_STRAP ->
          evidence.text("suspect").filter("strap"::equals).isPresent()
              && (cell == number || cell == number + 1);
      case LOOSE_TAP -> isDoubt(evidence, "loose-tap", List.of(number, number + 1));
      case SWAPPED_TAPS ->
          isDoubt(evidence, "swapped-taps", List.of(number, number + 1, number + 2));
      case STUCK_CELL -> isDoubt(evidence, "stuck-cell", List.of(number));
      case SENSOR_OPEN ->
          isDoubt(evidence, "thermistor-open", List.of())
              && evidence.get("details").orElseThrow() instanceof Facts details
              && details.number("sensor").orElse(0) == number;
      case CURRENT_OFFSET -> isDoubt(evidence, "current-offset", List.of());
      default -> true;
    };
  }

  private static boolean isDoubt(Facts evidence, String kind, List<Integer> cells) {
    return evidence.text("kind").filter(kind::equals).isPresent()
        && evidence.get("cells").filter(cells::equals).isPresent();
  }

  /** Where no part is broken: the cell that really went beyond its limit first. */
  private boolean isFirstBeyond(Alert alert) {
    int cell = alert.key().cell();
    int meant = cell != 0 ? cell : (int) alert.evidence().number("leader").orElse(cell);
    OptionalInt first =
        run.course(alert.key().pack()).exceedances().stream()
            .sorted(Comparator.comparingLong(Exceedance::fromMs))
            .mapToInt(Exceedance::cell)
            .findFirst();
    return meant == 0 || first.isEmpty() || first.getAsInt() == meant;
  }
}
