package org.cellherd.alert.rule;

import java.util.List;
import java.util.Optional;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResistanceResult;
import org.cellherd.analysis.result.ResistanceResult.Cell;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/** A cell's resistance stands out; the finding says whether cell or strap is suspected. */
final class HighResistance extends Rule {
  static final RuleId ID = new RuleId("resistance");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID,
          "the resistance of a cell stands out.",
          HighResistance::defaults,
          HighResistance::new);

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.NOTE).delays(0, 0).repeatedAfter(0);
  }

  HighResistance(RuleSettings set) {
    super(Terms.plain(set, "mohm").judgedEvery(600_000));
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    Optional<ResistanceResult> found =
        input.view().standing(FindingName.RESISTANCE, ResistanceResult.class);
    List<Cell> told = found.map(ResistanceResult::cells).orElse(List.of());
    for (int number = 1; number <= input.plan().series(); number++) {
      out.judge(number, judgement(told, number));
    }
  }

  /** A cell that is told no more stands out no more. */
  private static Judgement judgement(List<Cell> told, int number) {
    for (Cell cell : told) {
      if (cell.cell() == number && cell.suspect().isPresent()) {
        return new Judgement(1, false, cell.mohm().mid(), Double.NaN, () -> words(cell));
      }
    }
    return Judgement.fine();
  }

  private static Words words(Cell cell) {
    Optional<ResistanceResult.Suspect> suspect = cell.suspect();
    return Words.of(
        "Resistance of cell "
            + cell.cell()
            + ", "
            + Spoken.number(cell.mohm().mid(), 2)
            + " mohm, stands out"
            + suspect.map(what -> ", suspected: " + what.word().replace('_', ' ')).orElse(""),
        suspect.equals(Optional.of(ResistanceResult.Suspect.CELL))
            ? "Measure this cell by itself: its straps do not explain it."
            : "Tighten and clean the straps of this cell, then measure again.",
        ResultForm.facts(cell));
  }
}
