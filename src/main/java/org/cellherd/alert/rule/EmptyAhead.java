package org.cellherd.alert.rule;

import java.util.Optional;
import org.cellherd.alert.scene.FindingEvidence;
import org.cellherd.alert.scene.LoadMean;
import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * In the night: at its present load the pack will be empty before the sun is back. Not judged where
 * the state of charge is known too badly.
 */
final class EmptyAhead implements Rule {
  private static final double WIDEST_SOC_PCT = 40;
  private static final double LEAST_TELLING_H = 0.02;

  private final Terms terms;
  private final RuleSettings set;
  private final double ratedAh;
  private final LoadMean load = new LoadMean();

  EmptyAhead(PackPlan plan, RuleSettings set) {
    this.terms = Terms.live(set, "h");
    this.set = set;
    this.ratedAh = plan.ratedAh();
  }

  @Override
  public Terms terms() {
    return terms;
  }

  @Override
  public long judgedEveryMs() {
    return 60_000;
  }

  @Override
  public void judge(Scene scene, Verdicts out) {
    if (scene.flowingMa().isEmpty()) {
      return;
    }
    double hour = scene.localHour();
    double toSun = hoursToSun(hour);
    if (hour < set.number("evening_h") && hour >= set.number("sun_back_h")) {
      out.judge(0, Judgement.fine());
      return;
    }
    Optional<Interval> soc = scene.view().socPct();
    if (soc.isEmpty() || soc.get().high() - soc.get().low() > WIDEST_SOC_PCT) {
      return;
    }
    double loadA = load.amperes();
    if (!(loadA * 1000 > scene.view().deadZoneMa())) {
      out.judge(0, Judgement.fine());
      return;
    }
    double capacity = capacityAh(scene);
    double hours = soc.get().mid() / 100 * capacity / loadA;
    double needed = toSun - set.number("margin_h");
    out.judge(
        0,
        new Judgement(
            hours < needed ? 1 : 0,
            hours >= needed + set.number("deadband_h"),
            hours < needed ? hours : Double.NaN,
            toSun,
            () -> words(loadA, hours, toSun, soc.get())));
  }

  /** The measured capacity where there is one. */
  private double capacityAh(Scene scene) {
    return FindingEvidence.standing(scene.view(), FindingName.CAPACITY)
        .map(f -> f.facts().number("ah").orElse(ratedAh))
        .orElse(ratedAh);
  }

  @Override
  public void watch(Scene scene) {
    scene.flowingMa().ifPresent(ma -> load.add(scene.ageMs(), -ma / 1000.0));
  }

  private double hoursToSun(double hour) {
    double sun = set.number("sun_back_h");
    return hour < sun ? sun - hour : sun + 24 - hour;
  }

  private static Words words(double loadA, double hours, double toSun, Interval soc) {
    return Words.of(
        (hours < LEAST_TELLING_H
                ? "The pack is empty by its count, with a load of " + Spoken.amps(loadA)
                : "At "
                    + Spoken.amps(loadA)
                    + " the pack is empty in about "
                    + Spoken.duration(Math.round(hours * 3_600_000)))
            + ", the sun is back in "
            + Spoken.duration(Math.round(toSun * 3_600_000)),
        "Take load off, or charge from another source.",
        Facts.of()
            .put("load_a", loadA, 2)
            .put("hours_left", hours, 1)
            .put("hours_to_sun", toSun, 1)
            .put("soc_low_pct", soc.low(), 0)
            .put("soc_pct", soc.mid(), 0)
            .put("soc_high_pct", soc.high(), 0)
            .build());
  }

  @Override
  public void save(StateWriter out) {
    load.save(out);
  }

  @Override
  public void restore(StateReader in) {
    load.restore(in);
  }
}
