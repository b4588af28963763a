package org.cellherd.alert.rule;

import java.util.Optional;
import org.cellherd.alert.scene.FindingEvidence;
import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/** A cell's resistance stands out; the finding says whether cell or strap is suspected. */
final class HighResistance implements Rule {
  private final Terms terms;

  HighResistance(RuleSettings set) {
    terms = Terms.plain(set, "mohm");
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
    Optional<Finding> found = FindingEvidence.standing(scene.view(), FindingName.RESISTANCE);
    if (found.isEmpty()) {
      return;
    }
    for (Facts cell : FindingEvidence.ofCells(found.get().facts())) {
      int number = (int) cell.number("cell").orElse(0);
      if (number >= 1 && number <= scene.plan().series()) {
        int level = suspect(cell).isPresent() ? 1 : 0;
        double mohm = cell.number("mohm").orElse(Double.NaN);
        out.judge(
            number,
            new Judgement(level, level == 0, mohm, Double.NaN, () -> words(number, mohm, cell)));
      }
    }
  }

  /** What is suspected: a word, or just that something is. */
  private static Optional<String> suspect(Facts cell) {
    Object value = cell.get("suspect").orElse(false);
    if (value instanceof String word) {
      return word.isEmpty() || word.equals("none")
          ? Optional.empty()
          : Optional.of(word.replace('_', ' '));
    }
    return Boolean.TRUE.equals(value) ? Optional.of("cell or strap") : Optional.empty();
  }

  private static Words words(int cell, double mohm, Facts facts) {
    return Words.of(
        "Resistance of cell "
            + cell
            + (Double.isNaN(mohm) ? "" : ", " + Spoken.number(mohm, 2) + " mohm,")
            + " stands out"
            + suspect(facts).map(what -> ", suspected: " + what).orElse(""),
        suspect(facts).equals(Optional.of("cell"))
            ? "Measure this cell by itself: its straps do not explain it."
            : "Tighten and clean the straps of this cell, then measure again.",
        Facts.of().putAll(facts).build());
  }
}
