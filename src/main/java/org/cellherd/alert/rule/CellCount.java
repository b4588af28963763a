package org.cellherd.alert.rule;

import java.util.Optional;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;

/** The board reports another number of cells than the plan has: no cell can be named then. */
final class CellCount extends Rule {
  static final RuleId ID = new RuleId("cell-count");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID,
          "the board reports another number of cells than the plan.",
          CellCount::defaults,
          CellCount::new);

  private static final long HABIT_MS = 24L * 3_600_000;

  private int habit;
  private int last;
  private long lastAgeMs;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.CRITICAL).delays(30, 60).repeatedAfter(6);
  }

  CellCount(RuleSettings set) {
    super(Terms.live(set, "cells"));
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    Optional<CellVoltages> cells = input.fresh().map(Reading::cells).filter(c -> c.count() > 0);
    if (cells.isEmpty()) {
      return;
    }
    int planned = input.plan().series();
    int told = cells.get().count();
    int count = cells.get().countWithoutPadding(planned);
    learn(told, count == planned, input.ageMs());
    boolean isOther = count != planned || told != habit;
    int level = isOther ? 1 : 0;
    int before = habit;
    if (out.needs(0, level)) {
      out.judge(
          0,
          new Judgement(
              level,
              !isOther,
              told,
              planned,
              () -> count == planned ? changed(told, before) : words(count, planned)));
    }
  }

  /** Padding that was there from the beginning is the board's way; a change of it is none. */
  private void learn(int told, boolean isPlanned, long ageMs) {
    if (told != last) {
      last = told;
      lastAgeMs = ageMs;
    }
    if (isPlanned && (habit == 0 || ageMs - lastAgeMs > HABIT_MS)) {
      habit = told;
    }
  }

  private static Words changed(int told, int habit) {
    return new Words(
        "The board reports " + Spoken.counted(told, "cell") + ", it used to report " + habit,
        "The cells beyond the plan read nothing; the others are still watched.",
        "Check whether somebody changed the number of cells in the board.",
        Facts.of().put("reported", told).put("before", habit).build());
  }

  private static Words words(int count, int planned) {
    return new Words(
        "The board reports " + Spoken.counted(count, "cell") + ", the plan has " + planned,
        "Rules on single cells are withheld, readings are kept.",
        "Compare the number of cells set in the board and in the plan.",
        Facts.of().put("reported", count).put("planned", planned).build());
  }

  @Override
  public void state(State io) {
    habit = io.number(habit);
    last = io.number(last);
    lastAgeMs = io.number(lastAgeMs);
  }
}
