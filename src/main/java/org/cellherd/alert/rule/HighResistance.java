package org.cellherd.alert.rule;

import java.util.Optional;
import org.cellherd.alert.scene.FindingEvidence;
import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.result.ResistanceResult;
import org.cellherd.analysis.result.ResistanceResult.Cell;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.result.Suspect;
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
    Optional<ResistanceResult> found =
        FindingEvidence.standing(scene.view(), ResistanceResult.class);
    if (found.isEmpty()) {
      return;
    }
    for (Cell cell : found.get().cells()) {
      if (cell.cell() >= 1 && cell.cell() <= scene.plan().series()) {
        int level = cell.suspect().isPresent() ? 1 : 0;
        out.judge(
            cell.cell(),
            new Judgement(level, level == 0, cell.mohm().mid(), Double.NaN, () -> words(cell)));
      }
    }
  }

  private static Words words(Cell cell) {
    Optional<Suspect> suspect = cell.suspect();
    return Words.of(
        "Resistance of cell "
            + cell.cell()
            + ", "
            + Spoken.number(cell.mohm().mid(), 2)
            + " mohm, stands out"
            + suspect.map(what -> ", suspected: " + what.word().replace('_', ' ')).orElse(""),
        suspect.equals(Optional.of(Suspect.CELL))
            ? "Measure this cell by itself: its straps do not explain it."
            : "Tighten and clean the straps of this cell, then measure again.",
        ResultForm.facts(cell));
  }
}
