package org.cellherd.report.lid;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.plan.PlanCheck;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.setpoint.SetPoints;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;
import org.cellherd.report.Arrangement;
import org.cellherd.report.Made;
import org.cellherd.report.scene.Drawing;

/**
 * What a lid page says.
 *
 * @param points the numbers to enter
 * @param groups units of each cell now, first cell first; empty where the plan names none
 * @param tests capacity tests, newest first
 * @param curves of these tests; empty where there are none
 * @param made when
 */
public record LidFacts(
    SetPoints points,
    List<List<String>> groups,
    List<Finding> tests,
    Optional<Drawing> curves,
    Made made) {

  public LidFacts {
    groups = groups.stream().map(List::copyOf).toList();
    tests = List.copyOf(tests);
  }

  PackPlan plan() {
    return points.plan();
  }

  String title() {
    return plan().name();
  }

  String build() {
    return Arrangement.of(plan());
  }

  /** Fuse, wire, board, load and charger, as the plan tells them. */
  List<String> parts() {
    List<String> parts = new ArrayList<>();
    plan()
        .fuse()
        .ifPresentOrElse(
            f -> parts.add("Fuse " + amps(f.ratedMa()) + breaking(f)),
            () -> parts.add("Fuse: not in the plan"));
    plan()
        .wire()
        .ifPresentOrElse(
            w -> parts.add("Wire" + wire(w)), () -> parts.add("Wire: not in the plan"));
    plan()
        .board()
        .ifPresent(
            b ->
                parts.add(
                    "Board "
                        + b.name()
                        + (b.continuousMa().isPresent()
                            ? ", " + amps(b.continuousMa().getAsInt())
                            : "")));
    plan().loadMa().ifPresent(ma -> parts.add("Load " + amps(ma) + " at most"));
    plan().chargerMa().ifPresent(ma -> parts.add("Charger " + amps(ma)));
    return parts;
  }

  private static String breaking(PackPlan.FuseRating fuse) {
    return (fuse.interruptA().isPresent() ? ", breaks " + fuse.interruptA().getAsInt() + " A" : "")
        + (fuse.maxMv().isPresent()
            ? " up to " + Spoken.exactly(fuse.maxMv().getAsInt(), 3) + " V DC"
            : "");
  }

  private static String wire(PackPlan.Wire wire) {
    return (wire.tenthMm2().isPresent()
            ? " " + Spoken.exactly(wire.tenthMm2().getAsInt(), 1) + " mm\u00b2"
            : "")
        + (wire.lengthMm().isPresent()
            ? ", " + Spoken.exactly(wire.lengthMm().getAsInt(), 3) + " m one way"
            : "")
        + (wire.ampacityMa().isPresent() ? ", carries " + amps(wire.ampacityMa().getAsInt()) : "");
  }

  private static String amps(int ma) {
    return Spoken.exactly(ma, 3) + " A";
  }

  /** Whatever is not as it should be; one sentence where all is. */
  List<String> doubts() {
    List<String> doubts =
        points.margins().stream()
            .filter(c -> c.verdict() != PlanCheck.Verdict.OK)
            .map(PlanCheck::sentence)
            .toList();
    return doubts.isEmpty()
        ? List.of("With these numbers all that could be checked fits: cellherd check.")
        : doubts;
  }

  /** Capacity tests, newest first. */
  List<String> testLines() {
    return tests.isEmpty()
        ? List.of("Capacity: not measured yet.")
        : tests.stream().map(this::test).toList();
  }

  private String test(Finding test) {
    CapacityResult found = test.result(CapacityResult.class).orElseThrow();
    double amps = Math.abs(found.meanCurrentA());
    OptionalDouble share = found.ratedPct();
    int cell = found.conditions().limitingCell();
    return made.day(test.toMs())
        + ": "
        + Spoken.number(found.ah().map(Interval::mid).orElse(0.0), 2)
        + " Ah"
        + (Double.isNaN(amps) ? "" : " at " + Spoken.amps(amps))
        + (share.isPresent() ? ", " + Spoken.number(share.getAsDouble(), 0) + " % of rated" : "")
        + (cell > 0 ? ", cell " + cell + " was empty first" : "");
  }

  /** Dated changes, newest first. */
  List<String> history() {
    List<String> lines = new ArrayList<>();
    for (PackPlan.Change change : plan().history()) {
      lines.add(0, made.day(change.atMs()) + ": " + change.what());
    }
    if (plan().priorCycles() > 0) {
      lines.add("Before: " + Spoken.counted(plan().priorCycles(), "full cycle") + ".");
    }
    return lines.isEmpty() ? List.of("No change since it was built.") : lines;
  }
}
