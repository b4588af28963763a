package org.cellherd.pile;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.ResistanceResult;
import org.cellherd.analysis.result.RestResult;
import org.cellherd.pack.PackPlan;

/**
 * What a log of a rig knows of its units: voltages at the end of rests, capacities, resistances. A
 * cell of the board that is one unit measures that unit; one of several units measures none of
 * them.
 *
 * @param units measurements by unit, in the order of the cells
 * @param shared cells of several units, as people name them
 */
public record RigResults(Map<String, Measured> units, List<String> shared) {

  /**
   * Measurements of one unit, oldest first.
   *
   * @param rests voltages at the end of rests
   * @param resistances with the unit's straps
   * @param capacities those of units that were not empty at the end say at least so much
   */
  public record Measured(
      List<Unit.RestVoltage> rests,
      List<Unit.ResistanceTest> resistances,
      List<Unit.CapacityTest> capacities) {
    Measured() {
      this(new ArrayList<>(), new ArrayList<>(), new ArrayList<>());
    }
  }

  /** The rest's last hour is told by its middle. */
  private static final long HALF_HOUR_MS = 1_800_000;

  /**
   * Sorts findings by unit.
   *
   * @param plan with the units of each cell
   * @param findings rests, capacities and resistances, oldest first
   */
  public static RigResults of(PackPlan plan, List<Finding> findings) {
    Map<String, Measured> units = new LinkedHashMap<>();
    List<String> shared = new ArrayList<>();
    for (int cell = 1; cell <= plan.cells().size(); cell++) {
      List<String> asBuilt = plan.cells().get(cell - 1);
      if (asBuilt.size() == 1) {
        units.put(asBuilt.get(0), new Measured());
      } else {
        shared.add("cell " + cell + ": " + String.join(", ", asBuilt));
      }
    }
    for (Finding finding : findings) {
      for (int cell = 1; cell <= plan.cells().size(); cell++) {
        List<String> then = plan.unitsAt(finding.fromMs()).get(cell - 1);
        if (then.size() == 1) {
          take(finding, cell, units.computeIfAbsent(then.get(0), id -> new Measured()));
        }
      }
    }
    return new RigResults(units, shared);
  }

  private static void take(Finding finding, int cell, Measured unit) {
    if (finding.name() == FindingName.CAPACITY) {
      capacity(finding, cell, unit);
    } else if (finding.name() == FindingName.REST) {
      finding
          .result(RestResult.class)
          .flatMap(rest -> rest.cell(cell))
          .filter(c -> !Double.isNaN(c.lastMv()))
          .ifPresent(
              c ->
                  unit.rests.add(
                      new Unit.RestVoltage(
                          c.lastMv(), finding.toMs() - HALF_HOUR_MS, HALF_HOUR_MS)));
    } else if (finding.name() == FindingName.RESISTANCE) {
      finding
          .result(ResistanceResult.class)
          .flatMap(found -> found.cell(cell))
          .filter(c -> c.suspect().isEmpty() && !Double.isNaN(c.pulseS()))
          .ifPresent(c -> unit.resistances.add(test(c)));
    }
  }

  private static Unit.ResistanceTest test(ResistanceResult.Cell cell) {
    return new Unit.ResistanceTest(
        cell.mohm().mid(), Unit.ResistanceTest.Method.DC, cell.pulseS(), known(cell.tempC()));
  }

  private static void capacity(Finding finding, int cell, Measured unit) {
    CapacityResult test = finding.result(CapacityResult.class).orElseThrow();
    if (test.ah().isPresent()) {
      CapacityResult.Conditions how = test.conditions();
      boolean isEmptied = !how.partial() && how.limitingCell() == cell;
      unit.capacities.add(
          new Unit.CapacityTest(
              test.ah().get().mid(),
              known(Math.abs(test.meanCurrentA())),
              known(how.meanTempC()),
              isEmptied ? known(how.endMv()) : OptionalDouble.empty(),
              !isEmptied));
    }
  }

  private static OptionalDouble known(double value) {
    return Double.isNaN(value) ? OptionalDouble.empty() : OptionalDouble.of(value);
  }
}
