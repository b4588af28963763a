package org.cellherd.alert.rule;

import java.util.List;
import java.util.Optional;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.BalanceView.Joint;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResistanceResult;
import org.cellherd.analysis.result.ResistanceResult.Cell;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.Facts;
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

  private static final String TIGHTEN =
      "Tighten and clean the straps of this cell, then measure again.";

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
    Optional<List<Joint>> joints = input.view().joints();
    List<Cell> told = found.map(ResistanceResult::cells).orElse(List.of());
    for (int number = 1; number <= input.plan().series(); number++) {
      // What neither steps of the load nor the beginning of a charge shows stays as it was.
      if (joints.isPresent() || isIn(told, number)) {
        out.judge(number, judgement(told, joints.orElse(List.of()), number));
      }
    }
  }

  private static boolean isIn(List<Cell> told, int number) {
    return told.stream().anyMatch(cell -> cell.cell() == number);
  }

  private static Judgement judgement(List<Cell> told, List<Joint> joints, int number) {
    for (Cell cell : told) {
      if (cell.cell() == number && cell.suspect().isPresent()) {
        return new Judgement(1, false, cell.mohm().mid(), Double.NaN, () -> words(cell));
      }
    }
    for (Joint joint : joints) {
      if (joint.cell() == number) {
        return new Judgement(1, false, 1000 * joint.ohm(), Double.NaN, () -> words(joint));
      }
    }
    return Judgement.fine();
  }

  private static Words words(Joint joint) {
    double mohm = 1000 * joint.ohm();
    return Words.of(
        "Cell "
            + joint.cell()
            + " shows about "
            + Spoken.digits(mohm, 2)
            + " mohm more than the others under charge, suspected: strap or cell",
        TIGHTEN,
        Facts.of()
            .put("cell", joint.cell())
            .put("more_mohm", mohm, 2)
            .put("suspect", ResistanceResult.Suspect.STRAP_OR_CELL.word())
            .build());
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
            : TIGHTEN,
        ResultForm.facts(cell));
  }
}
