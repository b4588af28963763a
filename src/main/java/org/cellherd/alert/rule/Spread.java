package org.cellherd.alert.rule;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.engine.PackView;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * The spread of a pack that was balanced is wide again. Raw spread is normal before the first
 * balance and says nothing away from the top, so only the top of a pack once balanced is judged.
 */
final class Spread extends Rule {
  static final RuleId ID = new RuleId("spread");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID,
          "the cells are far apart at the top again after they were balanced.",
          Spread::defaults,
          Spread::new);

  private final double limitMv;
  private final double deadbandMv;
  private boolean wasBalanced;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING)
        .number("limit_mv", 100, 1, 2000, "highest minus lowest cell at the top, once balanced")
        .number("deadband_mv", 20, 0, 1000, "over only this much below")
        .delays(600, 600)
        .repeatedAfter(24);
  }

  Spread(RuleSettings set) {
    super(Terms.live(set, "mV").judgedEvery(60_000));
    limitMv = set.number("limit_mv");
    deadbandMv = set.number("deadband_mv");
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    wasBalanced =
        wasBalanced
            || input.view().balanceState() == BalanceView.State.BALANCED
            || (input.isAtTop() && wasLastTopBalanced(input.view()));
    CellVoltages cells = input.cells().orElse(CellVoltages.NONE);
    if (!wasBalanced || !input.isAtTop() || !cells.isComplete() || cells.count() < 2) {
      return;
    }
    double spread = cells.spreadTenthMv().orElseThrow() / 10.0;
    out.judge(
        0,
        new Judgement(
            spread > limitMv ? 1 : 0,
            spread <= limitMv - deadbandMv,
            spread,
            limitMv,
            () -> words(cells, spread)));
  }

  private static boolean wasLastTopBalanced(PackView view) {
    return view.lastTop().filter(t -> t.state() == BalanceView.State.BALANCED).isPresent();
  }

  private Words words(CellVoltages cells, double spread) {
    int high = cells.highestCell();
    int low = cells.lowestCell();
    return Words.of(
        "Cells "
            + high
            + " and "
            + low
            + " are "
            + Spoken.number(spread, 0)
            + " mV apart at the top, more than "
            + Spoken.low(limitMv, 0)
            + " mV, though the pack was balanced before",
        "Leave the charger on at a lower voltage until the board has bled the first cell.",
        Facts.of()
            .put("spread_mv", spread, 1)
            .put("highest_cell", high)
            .put("lowest_cell", low)
            .build());
  }

  @Override
  public void state(State io) {
    wasBalanced = io.flag(wasBalanced);
  }
}
