package org.cellherd.alert.rule;

import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.Suspicion;
import org.cellherd.pack.Facts;

/**
 * What of a rule's readings wiring can spoil: where they are in doubt, "may be wiring" is added to
 * what it says. It never takes anything away.
 */
public enum Doubt {
  /** A value that no wiring can spoil. */
  NONE,
  /** A cell's voltage. */
  VOLTAGE,
  /** A temperature. */
  HEAT;

  /** The judgement, with the doubt added to its words where there is one. */
  public Judgement add(int cell, Judgement judgement, RuleInput input) {
    if (judgement.level() == 0 || this == NONE) {
      return judgement;
    }
    return input.view().suspicions().stream()
        .filter(s -> concerns(s, cell))
        .findFirst()
        .map(s -> with(judgement, s))
        .orElse(judgement);
  }

  /** A dead cell is no wiring, and a charge count that is off says nothing about a voltage. */
  private boolean concerns(Suspicion suspicion, int cell) {
    if (this == HEAT) {
      return suspicion.kind().isThermistor() || suspicion.facts().number("sensor").isPresent();
    }
    return suspicion.kind() == Suspicion.Kind.SUM
        || (suspicion.cells().contains(cell) && suspicion.kind() != Suspicion.Kind.DEAD_CELL);
  }

  private static Judgement with(Judgement judgement, Suspicion suspicion) {
    return new Judgement(
        judgement.level(),
        judgement.inside(),
        judgement.value(),
        judgement.limit(),
        judgement.leastOffMs(),
        judgement.heldMs(),
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
