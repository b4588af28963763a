package org.cellherd.alert.rule;

import java.util.Optional;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/** The board reports another number of cells than the plan has: no cell can be named then. */
final class CellCount implements Rule {
  private final Terms terms;

  CellCount(RuleSettings set) {
    terms = TermsMaker.live(set, "cells");
  }

  /** Cells that a board told of; zeros beyond the plan are padding, no cells. */
  static int of(CellVoltages cells, PackPlan plan) {
    int count = cells.count();
    while (count > plan.series() && (!cells.has(count) || cells.tenthMv(count) == 0)) {
      count--;
    }
    return count;
  }

  @Override
  public Terms terms() {
    return terms;
  }

  @Override
  public void judge(Scene scene, Verdicts out) {
    Optional<CellVoltages> cells = scene.fresh().map(Reading::cells).filter(c -> c.count() > 0);
    if (cells.isEmpty()) {
      return;
    }
    int count = of(cells.get(), scene.plan());
    int planned = scene.plan().series();
    int level = count == planned ? 0 : 1;
    out.judge(0, new Judgement(level, level == 0, count, planned, () -> words(count, planned)));
  }

  private static Words words(int count, int planned) {
    return new Words(
        "The board reports " + count + " cells, the plan has " + planned,
        "Rules on single cells are withheld, readings are kept.",
        "Compare the number of cells set in the board and in the plan.",
        Facts.of().put("reported", count).put("planned", planned).build());
  }
}
