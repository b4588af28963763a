package org.cellherd.alert.rule;

import java.util.Optional;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.AlertText;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.Bounce;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/** The leader makes the board stop the charge again and again: one standing warning a charge. */
public final class Bouncing extends Rule {
  public static final RuleId ID = new RuleId("bounce");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID,
          "one full cell makes the board stop the charge 3 times in an hour.",
          Bouncing::defaults,
          Bouncing::new);

  private final int least;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING)
        .number("trips_count", 3, 2, 100, "so many stops of the charge within an hour")
        .delays(0, 0)
        .repeatedAfter(0);
  }

  Bouncing(RuleSettings set) {
    super(Terms.plain(set, "trips"));
    least = (int) set.number("trips_count");
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    if (input.fresh().isEmpty()) {
      return;
    }
    Optional<Bounce> bounce = input.view().bounce();
    if (bounce.isEmpty()) {
      out.judge(0, Judgement.fine());
      return;
    }
    Bounce now = bounce.get();
    int level = now.trips() >= least ? 1 : 0;
    out.judge(0, new Judgement(level, false, now.allTrips(), least, () -> words(now, input)));
  }

  private static Words words(Bounce bounce, RuleInput input) {
    PackPlan plan = input.plan();
    return new Words(
        "Cell "
            + bounce.cell()
            + " makes the board stop the charge again and again, "
            + Spoken.counted(bounce.allTrips(), "time")
            + " from "
            + AlertText.time(bounce.sinceMs(), input.timeMs(), input.zone())
            + ", about every "
            + Spoken.duration(Math.round(bounce.periodMin() * 60_000)),
        "It is full long before the others; the board cannot bleed it down between two stops.",
        "Lower the charge voltage to about "
            + Spoken.packVolts(plan.series() * (double) plan.limits().fullMv())
            + " and let the board bleed.",
        Facts.of()
            .put("trips", bounce.allTrips())
            .put("trips_last_hour", bounce.trips())
            .put("period_min", bounce.periodMin(), 1)
            .put("leader", bounce.cell())
            .putTime("first", bounce.sinceMs())
            .build());
  }
}
