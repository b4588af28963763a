package org.cellherd.analysis.plan;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.plan.PlanCheck.Verdict;
import org.cellherd.pack.PackPlan;

/**
 * Checks whether a plan fits together.
 *
 * @param checks everything that could be checked, in the order of the chapters
 * @param untold a sentence for each check that falls away because the plan does not tell enough
 */
public record PlanAudit(List<PlanCheck> checks, List<String> untold) {

  /** Usual charge of used cells, times the rated capacity an hour; common practice, no source. */
  public static final double CHARGE_C = 0.5;

  /** Usual discharge of used cells, likewise. */
  public static final double DISCHARGE_C = 1;

  /** A fuse or trip carries the load by this factor: ABYC E-11 and NEC, from memory. */
  public static final double OVER_LOAD = 1.25;

  public PlanAudit {
    checks = List.copyOf(checks);
    untold = List.copyOf(untold);
  }

  /** Checks a plan of new cells. */
  public static PlanAudit of(PackPlan plan, Alarms alarms) {
    return of(plan, alarms, 1);
  }

  /**
   * Checks a plan.
   *
   * @param plan the plan
   * @param alarms our own alarm levels
   * @param health capacity left over rated capacity, above 0 to 1: used cells allow less current
   * @throws IllegalArgumentException when the health is not in its range
   */
  public static PlanAudit of(PackPlan plan, Alarms alarms, double health) {
    if (!(health > 0 && health <= 1)) {
      throw new IllegalArgumentException("health " + health + ", allowed above 0 to 1");
    }
    List<PlanCheck> all = new ArrayList<>();
    all.addAll(CurrentChecks.of(plan, health));
    all.addAll(FuseChecks.of(plan));
    all.addAll(VoltageChecks.of(plan, alarms));
    return new PlanAudit(all, Untold.of(plan));
  }

  public PlanAudit with(List<PlanCheck> more) {
    List<PlanCheck> all = new ArrayList<>(checks);
    all.addAll(more);
    return new PlanAudit(all, untold);
  }

  /** The same where one more check falls away. */
  public PlanAudit without(String sentence) {
    List<String> all = new ArrayList<>(untold);
    all.add(sentence);
    return new PlanAudit(checks, all);
  }

  /** The worst verdict; OK when nothing could be checked. */
  public Verdict worst() {
    return checks.stream().map(PlanCheck::verdict).max(Verdict::compareTo).orElse(Verdict.OK);
  }

  /**
   * The levels at which an alert is first told, which a board's trips are held against.
   *
   * @param highMv told above, mV a cell
   * @param lowMv told below, mV a cell
   */
  public record Alarms(double highMv, double lowMv) {}
}
