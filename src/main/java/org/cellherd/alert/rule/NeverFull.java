package org.cellherd.alert.rule;

import java.util.OptionalLong;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/** Not truly full for long: without its top the board cannot balance, and charge counts drift. */
final class NeverFull extends Rule {
  static final RuleId ID = new RuleId("never-full");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID, "not truly full in 14 days of readings.", NeverFull::defaults, NeverFull::new);

  private static final double DAY_MS = 86_400_000;

  /** What a pack does in a longer hole nobody knows: it may have been full. */
  private static final long HOLE_MS = 3_600_000;

  private final double limitDays;
  private boolean wasHeard;
  private boolean wasFull;
  private long heardAgeMs;
  private long heardMs;

  /** All from common practice, no source. */
  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.NOTE)
        .number("limit_days", 14, 1, 365, "not truly full in so much heard time")
        .delays(0, 0)
        .repeatedAfter(0)
        .withEnabled(!plan.partialCharge());
  }

  NeverFull(RuleSettings set) {
    super(Terms.plain(set, "days"));
    limitDays = set.number("limit_days");
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    if (input.fresh().isEmpty()) {
      return;
    }
    long passedMs = wasHeard ? input.ageMs() - heardAgeMs : 0;
    wasHeard = true;
    heardAgeMs = input.ageMs();
    heardMs += Math.min(passedMs, HOLE_MS);
    OptionalLong sinceFullMs = input.view().sinceFullMs();
    wasFull |= sinceFullMs.isPresent();
    heardMs = Math.min(heardMs, sinceFullMs.orElse(heardMs));
    double days = heardMs / DAY_MS;
    int level = days > limitDays ? 1 : 0;
    if (out.needs(0, level)) {
      out.judge(0, new Judgement(level, level == 0, days, limitDays, () -> words(days)));
    }
  }

  private Words words(double days) {
    return new Words(
        "Overdue for a full charge",
        "In more than "
            + Spoken.counted((long) Math.floor(days), "day")
            + " of readings it was never truly full"
            + (wasFull ? "." : ", as far as the log goes."),
        "Charge it until the current has tapered off, and let it stand at its top for hours.",
        Facts.of().put("days", days, 1).put("was_ever_full", wasFull).build());
  }

  @Override
  public void state(State io) {
    wasHeard = io.flag(wasHeard);
    wasFull = io.flag(wasFull);
    heardAgeMs = io.number(heardAgeMs);
    heardMs = io.number(heardMs);
  }
}
