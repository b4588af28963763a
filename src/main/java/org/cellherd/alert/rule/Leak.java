package org.cellherd.alert.rule;

import java.util.List;
import java.util.Optional;
import org.cellherd.alert.scene.FindingEvidence;
import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.SelfDischarge;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/**
 * A cell discharges itself faster than the others, as the drift in long rests shows, or its falling
 * behind from one full charge to the next, by surely more than a sound cell does. Where the plateau
 * hides how much, the fall is reported without a number: the flatter the curve, the more it takes.
 */
final class Leak implements Rule {
  /**
   * An interval of 95 % misses once in twenty, but up to 32 cells are looked at after each full
   * charge of each day: to be wrong once in 50 days of a pack, a look may be wrong once in about
   * 1,600, which a normal error takes 3.2 deviations for in place of 1.96.
   */
  private static final double WIDER = 3.2 / 1.96;

  private final Terms terms;

  Leak(RuleSettings set) {
    terms = Terms.plain(set, "mA");
  }

  @Override
  public Terms terms() {
    return terms;
  }

  @Override
  public long judgedEveryMs() {
    return 600_000;
  }

  @Override
  public void judge(Scene scene, Verdicts out) {
    Optional<Finding> rest = FindingEvidence.standing(scene.view(), FindingName.REST);
    Optional<Finding> ageing = FindingEvidence.standing(scene.view(), FindingName.AGEING);
    if (rest.isEmpty() && ageing.isEmpty()) {
      return;
    }
    Facts resting = rest.map(Finding::facts).orElse(Facts.NONE);
    Facts aged = ageing.map(Finding::facts).orElse(Facts.NONE);
    List<Integer> suspects = FindingEvidence.numbers(resting, "suspects");
    for (int cell = 1; cell <= scene.plan().series(); cell++) {
      Facts behind = ofCell(aged, "leaking", cell);
      boolean isResting = suspects.contains(cell) || behind.list().isEmpty();
      Facts evidence = isResting ? ofCell(resting, "cells", cell) : behind;
      double low = evidence.number("leak_ma_low").orElse(Double.NaN);
      double high = evidence.number("leak_ma_high").orElse(Double.NaN);
      double least = isResting || Double.isNaN(high) ? low : surely(low, high);
      boolean isSuspect = suspects.contains(cell) || !behind.list().isEmpty();
      boolean isLeak = isSuspect && !(least <= SelfDischarge.soundMa(scene.plan().ratedAh()));
      int number = cell;
      out.judge(
          cell,
          new Judgement(
              isLeak ? 1 : 0, !isLeak, low, Double.NaN, () -> words(number, evidence, resting)));
    }
  }

  /** The lower end of what it is, where many are looked at. */
  private static double surely(double low, double high) {
    return (low + high) / 2 - WIDER * (high - low) / 2;
  }

  private static Facts ofCell(Facts facts, String list, int cell) {
    return FindingEvidence.list(facts, list).stream()
        .filter(f -> f.number("cell").orElse(0) == cell)
        .findFirst()
        .orElse(Facts.NONE);
  }

  private static Words words(int cell, Facts drift, Facts rest) {
    double low = drift.number("leak_ma_low").orElse(Double.NaN);
    double high = drift.number("leak_ma_high").orElse(Double.NaN);
    double slope = drift.number("drift_mv_per_day").orElse(Double.NaN);
    String leak =
        Double.isNaN(low) || Double.isNaN(high)
            ? ""
            : ", about " + Spoken.between(low, high, 1) + " mA";
    String fall =
        Double.isNaN(slope)
            ? " from one full charge to the next"
            : " by " + Spoken.number(-slope, 2) + " mV a day at rest";
    return Words.of(
        "Cell " + cell + " falls behind the others" + fall + leak,
        "Look for a wire or board that draws on this cell alone; else replace the cell.",
        Facts.of()
            .put("drift_mv_per_day", slope, 3)
            .putLow("leak_ma_low", low, 2)
            .putHigh("leak_ma_high", high, 2)
            .put("rest_hours", rest.number("hours"), 1)
            .build());
  }
}
