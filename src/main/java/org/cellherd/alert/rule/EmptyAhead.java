package org.cellherd.alert.rule;

import java.util.Optional;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.scene.ChargeLeft;
import org.cellherd.alert.scene.LoadMean;
import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.setting.Sheet;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.FrameClass;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * In the night: at its present load the pack will be empty before the sun is back, even if it holds
 * the most that it may, and, if nothing was measured, its whole label: a warning must seldom be
 * wrong. That it may be empty is a note in time: of a worn pack it is told of no more than what the
 * pack has given before. The text says between when and when. Not judged where the state of charge
 * is known too badly.
 *
 * <p>The load of an evening says little of a whole night; the nights before say most. Where too few
 * are known, or tonight is heavier than they were, what tonight drew so far it can be expected to
 * draw once more, and it is told only once no more is left than that; a warning takes the least
 * load of its latest hours, for what was cooked at seven is not drawn at three.
 *
 * <p>A night is one occurrence: loads come and go, and the forecast with them, but what the owner
 * can do about it does not change. What eases stays listed until the sun is back.
 */
final class EmptyAhead implements Rule {
  /** Its name. */
  static final RuleId ID = new RuleId("empty-ahead");

  static final RuleKind KIND =
      RuleKind.of(
          ID,
          "the pack will be empty before sunrise at tonight's load; a note where it may be.",
          EmptyAhead::defaults,
          (plan, all) -> new EmptyAhead(all.rule(ID)));

  private static final double WIDEST_SOC_PCT = 40;
  private static final double LEAST_TELLING_H = 0.02;

  private static final double HOUR_MS = 3_600_000;

  /** Longer than any night. */
  private static final long NIGHT_MS = 24 * 3_600_000;

  private final Terms terms;
  private final RuleSettings set;
  private final LoadMean load = new LoadMean();

  /** The most that the pack was seen to give from full without being empty, Ah. */
  private double givenAh;

  private double lowestPct = 100;

  private final NightLoads nights = new NightLoads();
  private long heardMs;

  /** All from common practice, no source. */
  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING)
        .number("sun_back_h", 8, 0, 24, "hour of the morning, local time, when charging begins")
        .number("evening_h", 17, 12, 24, "the night begins at this hour, local time")
        .number("margin_h", 0.5, 0, 12, "warns when empty so much before the sun")
        .number("deadband_h", 1, 0, 12, "over only when it lasts this much longer")
        .delays(900, 1800)
        .repeatedAfter(0);
  }

  EmptyAhead(RuleSettings set) {
    this.terms = Terms.liveWithNote(set, "h");
    this.set = set;
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
    scene.view().socPct().ifPresent(soc -> learn(scene, soc));
    if (scene.flowingMa().isEmpty()) {
      return;
    }
    double hour = scene.localHour();
    double toSun = hoursToSun(hour);
    if (isDay(hour)) {
      out.judge(0, Judgement.fine());
      return;
    }
    Optional<Interval> soc = scene.view().socPct();
    if (soc.isEmpty() || soc.get().high() - soc.get().low() > WIDEST_SOC_PCT) {
      return;
    }
    double needed = toSun - set.number("margin_h");
    double usualA = nights.leastAh(nightH() - toSun, nightH() - toSun + needed) / needed;
    boolean isUsual = usualA > 0;
    double loadA = isUsual ? usualA : Math.min(load.amperes(), nights.tonightA());
    if (!(loadA * 1000 > scene.view().deadZoneMa())) {
      out.judge(0, Judgement.fine().after(NIGHT_MS));
      return;
    }
    ChargeLeft left = ChargeLeft.of(scene.view(), soc.get(), givenAh);
    double ratedAh = scene.plan().ratedAh();
    double mostAh = left.ah().high();
    double leastAh = leastAh(left, ratedAh);
    double likelyAh = needed * loadA;
    likelyAh = isUsual ? likelyAh : Math.min(nights.tonightAh(), likelyAh);
    double surelyAh = isUsual ? likelyAh : Math.min(likelyAh, needed * nights.steadyA());
    int level = mostAh < surelyAh ? 2 : leastAh < likelyAh ? 1 : 0;
    out.judge(
        0,
        new Judgement(
            level,
            leastAh / loadA >= needed + set.number("deadband_h"),
            level == 2
                ? left.ah().mid() / loadA
                : level == 1 ? left.ah().low() / loadA : Double.NaN,
            toSun,
            NIGHT_MS,
            () -> words(level, isUsual, loadA, left, toSun, soc.get(), ratedAh)));
  }

  /**
   * What is left of what it surely holds, as counted; of a measured pack what its count bounds, and
   * of one that was never full as much as it may hold.
   */
  private double leastAh(ChargeLeft left, double ratedAh) {
    if (left.isMeasured() || left.drawnAh() == 0) {
      return left.isMeasured() ? left.ah().low() : left.ah().high();
    }
    return Math.max(ratedAh * ChargeLeft.WORN_PCT / 100, givenAh) - left.drawnAh();
  }

  /**
   * Deeper than ever before: what it gave then, it holds. The middle of the count is taken, for
   * tonight is counted with the same errors.
   */
  private void learn(Scene scene, Interval soc) {
    if (soc.mid() < lowestPct) {
      givenAh = Math.max(givenAh, ChargeLeft.of(scene.view(), soc, givenAh).drawnAh());
      lowestPct = soc.mid();
    }
  }

  @Override
  public void watch(Scene scene) {
    if (scene.flowingMa().isPresent()) {
      double amperes = -scene.flowingMa().getAsInt() / 1000.0;
      load.add(scene.ageMs(), amperes);
      double hour = scene.localHour();
      if (isDay(hour)) {
        nights.day(nightH());
      } else {
        boolean isAtEnd = scene.view().frameClass() == FrameClass.LOWER_KNEE;
        double hours = (scene.ageMs() - heardMs) / HOUR_MS;
        nights.night(nightH() - hoursToSun(hour), amperes, hours, isAtEnd);
      }
      heardMs = scene.ageMs();
    }
  }

  private boolean isDay(double hour) {
    return hour < set.number("evening_h") && hour >= set.number("sun_back_h");
  }

  private double nightH() {
    return hoursToSun(set.number("evening_h"));
  }

  private double hoursToSun(double hour) {
    double sun = set.number("sun_back_h");
    return hour < sun ? sun - hour : sun + 24 - hour;
  }

  private Words words(
      int level,
      boolean isUsual,
      double loadA,
      ChargeLeft left,
      double toSun,
      Interval soc,
      double ratedAh) {
    double low = left.ah().low() / loadA;
    double high = left.ah().high() / loadA;
    return new Words(
        (high < LEAST_TELLING_H
                ? "The pack is empty by its count, with a load of " + Spoken.amps(loadA)
                : "At "
                    + Spoken.amps(loadA)
                    + (isUsual ? " on average, as in the nights before," : "")
                    + (level == 1 ? " the pack may be empty in " : " the pack is empty in ")
                    + between(low, high))
            + ", the sun is back in "
            + hours(toSun),
        "",
        left.isMeasured() ? "" : unmeasured(ratedAh),
        "Reduce or disconnect the load, or charge from another source.",
        Facts.of()
            .put("load_a", loadA, 2)
            .putLow("hours_left_low", low, 1)
            .put("hours_left", left.ah().mid() / loadA, 1)
            .putHigh("hours_left_high", high, 1)
            .put("hours_to_sun", toSun, 1)
            .putLow("soc_low_pct", soc.low(), 0)
            .put("soc_pct", soc.mid(), 0)
            .putHigh("soc_high_pct", soc.high(), 0)
            .put("capacity_measured", left.isMeasured())
            .putLow("given_ah", left.isMeasured() ? Double.NaN : givenAh, 0)
            .put("label_ah", left.isMeasured() ? Double.NaN : ratedAh, 0)
            .build());
  }

  private String unmeasured(double ratedAh) {
    boolean isTold = givenAh > ratedAh * ChargeLeft.WORN_PCT / 100;
    return "Its capacity was never measured: "
        + (isTold
            ? "it has given "
                + Spoken.low(givenAh, 0)
                + " Ah from full so far, its label is "
                + Spoken.number(ratedAh, 0)
                + " Ah."
            : "used cells are taken to hold " + ChargeLeft.WORN_PCT + " to 100 % of their label.");
  }

  private static String between(double low, double high) {
    if (hours(low).equals(hours(high))) {
      return "about " + hours(high);
    }
    String least = Spoken.longerThan(Math.round(low * HOUR_MS));
    String most = Spoken.shorterThan(Math.round(high * HOUR_MS));
    return low < LEAST_TELLING_H ? "at most " + most : least + " to " + most;
  }

  private static String hours(double hours) {
    return Spoken.duration(Math.round(hours * HOUR_MS));
  }

  @Override
  public void state(State io) {
    load.state(io);
    givenAh = io.number(givenAh);
    lowestPct = io.number(lowestPct);
    nights.state(io);
    heardMs = io.number(heardMs);
  }
}
