package org.cellherd.alert.rule;

import java.util.Optional;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * A pack that rests will reach its cut-off within days: by the fall of its charge since the rest
 * began and by the load that its sensor does not see, or because a cell is low already.
 */
final class StoredLow extends Rule {
  static final RuleId ID = new RuleId("stored-low");

  static final Rule.Kind KIND =
      Rule.Kind.ofPlan(
          ID,
          "a pack at rest reaches its cut-off within 21 days.",
          StoredLow::defaults,
          StoredLow::new);

  private static final double DAY_MS = 86_400_000;
  private static final double LEAST_DAYS = 1;
  private static final int LOW_MARGIN_MV = 150;

  private final RuleSettings set;
  private final double hiddenPctPerDay;
  private final double lowMv;
  private boolean rests;
  private long restAgeMs;
  private double startPct = Double.NaN;

  /** All from common practice, no source. */
  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING)
        .number("limit_days", 21, 1, 365, "a resting pack reaches its cut-off sooner")
        .number("deadband_days", 5, 0, 365, "over only this much later")
        .number("rest_h", 48, 1, 720, "looked at after so long a rest")
        .delays(3600, 3600)
        .repeatedAfter(72);
  }

  StoredLow(PackPlan plan, RuleSettings set) {
    super(Terms.live(set, "days"));
    this.set = set;
    this.hiddenPctPerDay = plan.hiddenLoadMa() * 24.0 / plan.ratedMah() * 100;
    this.lowMv = plan.limits().warnLowMv() + LOW_MARGIN_MV;
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    if (input.flowingMa().isEmpty()) {
      return;
    }
    Optional<Interval> soc = input.view().socPct();
    boolean isQuiet = input.flowingMa().getAsInt() == 0;
    if (!isQuiet) {
      rests = false;
      out.judge(0, Judgement.fine());
      return;
    }
    if (!rests) {
      rests = true;
      restAgeMs = input.ageMs();
      startPct = soc.map(Interval::mid).orElse(Double.NaN);
    }
    double restDays = (input.ageMs() - restAgeMs) / DAY_MS;
    if (restDays * 24 < set.number("rest_h")) {
      return;
    }
    double days = daysLeft(soc, restDays, input);
    if (Double.isNaN(days)) {
      return;
    }
    double limit = set.number("limit_days");
    out.judge(
        0,
        new Judgement(
            days < limit ? 1 : 0,
            days >= limit + set.number("deadband_days"),
            Math.min(days, 9999),
            limit,
            () -> words(days, soc, restDays)));
  }

  private double daysLeft(Optional<Interval> soc, double restDays, RuleInput input) {
    CellVoltages cells = input.cells().orElse(CellVoltages.NONE);
    int lowest = cells.lowestCell();
    if (lowest != 0 && cells.mv(lowest) < lowMv) {
      return 0;
    }
    if (soc.isEmpty()) {
      return Double.NaN;
    }
    double fall = restDays < LEAST_DAYS ? 0 : (startPct - soc.get().mid()) / restDays;
    double perDay = Math.max(Double.isNaN(fall) ? 0 : fall, hiddenPctPerDay);
    return perDay <= 0 ? Double.POSITIVE_INFINITY : soc.get().mid() / perDay;
  }

  private Words words(double days, Optional<Interval> soc, double restDays) {
    String when =
        days < 1
            ? "is nearly empty already"
            : "reaches its cut-off in about " + Spoken.counted(Math.round(days), "day");
    return Words.of(
        "The pack rests and " + when,
        "Charge it to about half, and disconnect whatever draws current.",
        Facts.of()
            .put("days_left", days, 1)
            .put("rest_days", restDays, 1)
            .put("soc_pct", soc.map(Interval::mid).orElse(Double.NaN), 0)
            .put("hidden_load_pct_per_day", hiddenPctPerDay, 3)
            .build());
  }

  @Override
  public void state(State io) {
    rests = io.flag(rests);
    restAgeMs = io.number(restAgeMs);
    startPct = io.number(startPct);
  }
}
