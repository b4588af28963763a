package org.cellherd.alert.rule;

import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;

/** Current above a rating of cells, board or fuse, in either direction. */
final class OverCurrent extends Rule {
  static final RuleId ID = new RuleId("over-current");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID,
          "the current is above the weakest rating of the plan.",
          OverCurrent::defaults,
          OverCurrent::new);

  /** No limit where no rating is told: a current that no pack reaches. */
  private static final double UNTOLD_A = 100_000;

  private final double warnA;
  private final double limitA;
  private final double backA;

  private static RuleSettings defaults(PackPlan plan) {
    double rated = ratedA(plan);
    return Sheet.of(ID, Priority.CRITICAL)
        .number("limit_a", peakA(plan, rated), 0.01, UNTOLD_A, "critical above, either direction")
        .number("warn_a", rated, 0.01, UNTOLD_A, "warning above: the weakest rating of the plan")
        .number("deadband_pct", 5, 0, 50, "over only this much below")
        .number("warn_delay_s", 30, 0, 3600, "a warning needs the current for this long")
        .delays(5, 60)
        .repeatedAfter(6);
  }

  private static double ratedA(PackPlan plan) {
    double board = amps(plan.board().map(PackPlan.BoardRating::continuousMa));
    double cells = plan.parallel() * amps(Optional.of(plan.cell().continuousMa()));
    double fuse = plan.fuse().map(f -> f.ratedMa() / 1000.0).orElse(UNTOLD_A);
    return Math.min(UNTOLD_A, Math.min(fuse, Math.min(board, cells)));
  }

  private static double peakA(PackPlan plan, double rated) {
    double board = amps(plan.board().map(PackPlan.BoardRating::tripMa));
    double cells = plan.parallel() * amps(Optional.of(plan.cell().peakMa()));
    double told = Math.min(board, cells);
    return Math.min(UNTOLD_A, told < UNTOLD_A ? told : rated * 1.25);
  }

  private static double amps(Optional<OptionalInt> ma) {
    OptionalInt told = ma.orElse(OptionalInt.empty());
    return told.isPresent() ? told.getAsInt() / 1000.0 : UNTOLD_A;
  }

  OverCurrent(RuleSettings set) {
    super(Terms.liveWithWarning(set, "A"));
    limitA = set.number("limit_a");
    warnA = Math.min(limitA, set.number("warn_a"));
    backA = warnA * (1 - set.number("deadband_pct") / 100);
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    OptionalInt current = input.fresh().map(Reading::currentMa).orElse(OptionalInt.empty());
    if (current.isEmpty()) {
      return;
    }
    double amps = Math.abs((double) current.getAsInt()) / 1000;
    int level = amps > limitA ? 2 : amps > warnA ? 1 : 0;
    double limit = level == 1 ? warnA : limitA;
    boolean isCharge = current.getAsInt() > 0;
    if (out.needs(0, level)) {
      out.judge(
          0, new Judgement(level, amps <= backA, amps, limit, () -> words(amps, limit, isCharge)));
    }
  }

  private static Words words(double amps, double limit, boolean isCharge) {
    return Words.of(
        (isCharge ? "Charge" : "Discharge")
            + " current at "
            + Spoken.amps(amps)
            + ", above the "
            + Spoken.amps(limit)
            + " that cells, board and fuse allow",
        isCharge ? "Lower the charge current." : "Reduce or disconnect the load.",
        Facts.of().put("current_a", amps, 1).put("limit_a", limit, 1).build());
  }
}
