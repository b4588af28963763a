package org.cellherd.alert.rule;

import java.util.OptionalInt;
import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;

/** Current above a rating of cells, board or fuse, in either direction. */
final class OverCurrent implements Rule {
  private final Terms terms;
  private final double warnA;
  private final double limitA;
  private final double backA;

  OverCurrent(RuleSettings set) {
    terms = Terms.liveWithWarning(set, "A");
    limitA = set.number("limit_a");
    warnA = Math.min(limitA, set.number("warn_a"));
    backA = warnA * (1 - set.number("deadband_pct") / 100);
  }

  @Override
  public Terms terms() {
    return terms;
  }

  @Override
  public void judge(Scene scene, Verdicts out) {
    OptionalInt current = scene.fresh().map(Reading::currentMa).orElse(OptionalInt.empty());
    if (current.isEmpty()) {
      return;
    }
    double amps = Math.abs((double) current.getAsInt()) / 1000;
    int level = amps > limitA ? 2 : amps > warnA ? 1 : 0;
    double limit = level == 1 ? warnA : limitA;
    boolean isCharge = current.getAsInt() > 0;
    out.judge(
        0, new Judgement(level, amps <= backA, amps, limit, () -> words(amps, limit, isCharge)));
  }

  private static Words words(double amps, double limit, boolean isCharge) {
    return Words.of(
        (isCharge ? "Charge" : "Discharge")
            + " current at "
            + Spoken.amps(amps)
            + ", above the "
            + Spoken.amps(limit)
            + " that cells, board and fuse allow",
        isCharge ? "Lower the charge current." : "Take load off.",
        Facts.of().put("current_a", amps, 1).put("limit_a", limit, 1).build());
  }
}
