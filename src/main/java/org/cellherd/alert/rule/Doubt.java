package org.cellherd.alert.rule;

import java.util.EnumSet;
import java.util.Set;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.Doubted;
import org.cellherd.analysis.Suspicion;
import org.cellherd.pack.Facts;

/**
 * Adds "may be wiring" to what limit, runner and temperature rules say, where the readings are in
 * doubt. It never takes anything away.
 */
public final class Doubt {
  private static final Set<RuleId> VOLTAGE =
      EnumSet.of(RuleId.CELL_HIGH, RuleId.CELL_LOW, RuleId.LIMIT_AHEAD, RuleId.RUNNER);
  private static final Set<RuleId> HEAT =
      EnumSet.of(RuleId.HOT, RuleId.HEATING, RuleId.COLD, RuleId.COLD_CHARGE, RuleId.CHARGE_ZONE);

  private Doubt() {}

  /** The judgement, with the doubt added to its words where there is one. */
  public static Judgement add(RuleId rule, int cell, Judgement judgement, Scene scene) {
    boolean isDoubtable = VOLTAGE.contains(rule) || HEAT.contains(rule);
    if (judgement.level() == 0 || !isDoubtable) {
      return judgement;
    }
    return scene.view().suspicions().stream()
        .filter(s -> concerns(s, rule, cell))
        .findFirst()
        .map(s -> with(judgement, s))
        .orElse(judgement);
  }

  /** A dead cell is no wiring, and a charge count that is off says nothing about a voltage. */
  private static boolean concerns(Suspicion suspicion, RuleId rule, int cell) {
    if (HEAT.contains(rule)) {
      return suspicion.kind().isThermistor() || suspicion.facts().number("sensor").isPresent();
    }
    return suspicion.kind() == Doubted.SUM
        || (suspicion.cells().contains(cell) && suspicion.kind() != Doubted.DEAD_CELL);
  }

  private static Judgement with(Judgement judgement, Suspicion suspicion) {
    return new Judgement(
        judgement.level(),
        judgement.inside(),
        judgement.value(),
        judgement.limit(),
        judgement.leastOffMs(),
        () -> with(judgement.words().get(), suspicion));
  }

  private static Words with(Words words, Suspicion suspicion) {
    String doubt =
        "May be wiring: " + suspicion.likelyCause() + "; look at " + suspicion.lookAt() + ".";
    String more = words.more().isEmpty() ? doubt : words.more() + " " + doubt;
    Facts evidence =
        Facts.of().putAll(words.evidence()).put("may_be_wiring", suspicion.kind().word()).build();
    return new Words(words.what(), words.ahead(), more, words.firstStep(), evidence);
  }
}
