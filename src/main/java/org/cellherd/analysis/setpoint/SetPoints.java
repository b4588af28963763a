package org.cellherd.analysis.setpoint;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import org.cellherd.analysis.plan.PlanAudit;
import org.cellherd.analysis.plan.PlanCheck;
import org.cellherd.pack.PackPlan;

/**
 * All numbers to enter for a pack.
 *
 * @param plan the plan with the proposed voltages in it
 * @param points the numbers, in the order of entering
 * @param margins how the plan stands with them, judged as a plan is
 * @param rests what resting voltages say of the charge
 */
public record SetPoints(
    PackPlan plan, List<SetPoint> points, List<PlanCheck> margins, List<RestRow> rests) {

  public SetPoints {
    points = List.copyOf(points);
    margins = List.copyOf(margins);
    rests = List.copyOf(rests);
  }

  /**
   * Proposes.
   *
   * @param plan the plan as typed
   * @param health capacity left over rated capacity, above 0 to 1: used cells bear less current
   * @param watch our own alert levels for a plan
   */
  public static SetPoints of(PackPlan plan, double health, Function<PackPlan, Watch> watch) {
    CellLevels levels = new CellLevels(plan, p -> watch.apply(p).alarms());
    List<SetPoint> points = new ArrayList<>(new VoltagePoints(levels).board());
    points.addAll(new CurrentPoints(levels.plan, health).board());
    points.addAll(TemperaturePoints.of(plan.chemistry(), watch.apply(levels.plan).hotWarnC()));
    points.addAll(new VoltagePoints(levels).balance());
    points.addAll(new VoltagePoints(levels).charger());
    points.addAll(new CurrentPoints(levels.plan, health).charger());
    points.add(new VoltagePoints(levels).storage());
    return new SetPoints(
        levels.plan,
        points,
        PlanAudit.of(levels.plan, levels.alarms, health).checks(),
        RestRow.of(plan));
  }

  /** The number of a key. */
  public SetPoint point(String key) {
    return points.stream()
        .filter(p -> p.key().equals(key))
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("no set-point " + key));
  }
}
