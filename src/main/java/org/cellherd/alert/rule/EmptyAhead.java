package org.cellherd.alert.rule;

import java.util.Optional;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.result.SocResult;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * In the night: the pack will be empty before the sun is back. A warning where even the most that
 * it may hold, its whole label if nothing was measured, is less than what will hardly not be drawn;
 * a note where that is so in five cases of six by what is known of both, the middle of what it
 * holds lying one deviation below the mean of what will be drawn. What it may hold at worst tells
 * nothing: of a pack nobody measured every night might end early. The text says between when and
 * when. Not judged where nothing was counted from an end of the scale and the bounds are wide.
 *
 * <p>The load of an evening says little of a whole night; the hours of the nights before say most:
 * their mean, less two deviations for a warning. Where too few are known, or tonight is not like
 * them, what tonight drew so far it can be expected to draw once more; a warning takes the least
 * load of its latest hours, for what was cooked at seven is not drawn at three. A note then states
 * its condition and a range: how likely that is nothing known tells.
 *
 * <p>A night is one occurrence: loads come and go, and the forecast with them, but what the owner
 * can do about it does not change. What eases stays listed until the sun is back.
 */
final class EmptyAhead extends Rule {
  static final RuleId ID = new RuleId("empty-ahead");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID,
          "the pack will be empty before sunrise at tonight's load; a note where that is likely.",
          EmptyAhead::defaults,
          EmptyAhead::new);

  private static final double WIDEST_SOC_PCT = 40;

  /** Bounds that hold in 95 cases of 100 are as many deviations apart. */
  private static final double BOUNDS_DEVIATIONS = 4;

  private static final double LEAST_TELLING_H = 0.02;

  private static final double HOUR_MS = 3_600_000;

  /** Longer than any night. */
  private static final long NIGHT_MS = 24 * 3_600_000;

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
    super(Terms.liveWithNote(set, "h").judgedEvery(60_000));
    this.set = set;
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    input.view().socPct().ifPresent(soc -> learn(input, soc));
    if (input.flowingMa().isEmpty()) {
      return;
    }
    double hour = input.localHour();
    double toSun = hoursToSun(hour);
    if (isDay(hour)) {
      out.judge(0, Judgement.fine());
      return;
    }
    Optional<Interval> soc = input.view().socPct();
    if (soc.isEmpty() || !isCounted(input, soc.get())) {
      return;
    }
    double needed = toSun - set.number("margin_h");
    double sinceH = nightH() - toSun;
    NightLoad usual = nights.usual(sinceH, sinceH + needed);
    double nowA = Math.min(load.amperes(), nights.tonightA());
    double loadA = usual.isKnown() ? usual.ah() / needed : nowA;
    if (!(loadA * 1000 > input.view().deadZoneMa())) {
      out.judge(0, Judgement.fine().after(NIGHT_MS));
      return;
    }
    double ratedAh = input.plan().ratedAh();
    ChargeLeft left = ChargeLeft.of(input.view(), soc.get(), givenAh);
    double tonightAh = Math.min(nights.tonightAh(), needed * nowA);
    NightLoad toCome = usual.isKnown() ? usual : new NightLoad(tonightAh, 0);
    double likelyAh = toCome.ah() - Math.hypot(toCome.deviationAh(), deviationAh(left));
    double surelyAh =
        usual.isKnown()
            ? usual.ah() - 2 * usual.deviationAh()
            : Math.min(tonightAh, needed * nights.steadyA());
    int level = left.ah().high() < surelyAh ? 2 : left.ah().mid() < likelyAh ? 1 : 0;
    out.judge(
        0,
        new Judgement(
            level,
            left.ah().mid() / loadA >= needed + set.number("deadband_h"),
            level > 0 ? left.ah().mid() / loadA : Double.NaN,
            toSun,
            NIGHT_MS,
            () -> words(level, usual.isKnown(), loadA, left, toSun, soc.get(), ratedAh)));
  }

  /**
   * The middle means something: it was counted from an end of the scale, or the bounds are near.
   */
  private static boolean isCounted(RuleInput input, Interval soc) {
    return soc.high() - soc.low() <= WIDEST_SOC_PCT
        || input
            .view()
            .standing(FindingName.SOC, SocResult.class)
            .filter(count -> count.anchor().isEnd())
            .isPresent();
  }

  /** Of the middle of what is left; where the capacity was measured, the middle is what is so. */
  private static double deviationAh(ChargeLeft left) {
    return left.isMeasured() ? 0 : (left.ah().high() - left.ah().low()) / BOUNDS_DEVIATIONS;
  }

  /** Deeper than ever before: what it surely gave then, it holds. */
  private void learn(RuleInput input, Interval soc) {
    if (soc.high() < lowestPct) {
      givenAh = Math.max(givenAh, ChargeLeft.of(input.view(), soc, givenAh).surelyDrawnAh());
      lowestPct = soc.high();
    }
  }

  @Override
  public void watch(RuleInput input) {
    if (input.flowingMa().isPresent()) {
      double amperes = -input.flowingMa().getAsInt() / 1000.0;
      load.add(input.ageMs(), amperes);
      double hour = input.localHour();
      if (isDay(hour)) {
        nights.day();
      } else {
        boolean isAtEnd = input.view().phase() == Phase.LOWER_KNEE;
        double hours = (input.ageMs() - heardMs) / HOUR_MS;
        nights.night(nightH() - hoursToSun(hour), amperes, hours, isAtEnd);
      }
      heardMs = input.ageMs();
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
                : level == 1 && !isUsual
                    ? "If tonight's load goes on at "
                        + Spoken.amps(loadA)
                        + ", the pack is empty in "
                        + between(low, high)
                    : "At "
                        + Spoken.amps(loadA)
                        + (isUsual ? " on average, as in the nights before," : "")
                        + (level == 1
                            ? " the pack is likely to be empty in " + likely(low, left, loadA, high)
                            : " the pack is empty in " + between(low, high)))
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

  private static String likely(double low, ChargeLeft left, double loadA, double high) {
    double mid = left.ah().mid() / loadA;
    return mid < LEAST_TELLING_H || hours(low).equals(hours(high))
        ? between(low, high)
        : "about " + hours(mid) + " (" + between(low, high) + ")";
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
