package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.stream.DoubleStream;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.result.SocResult;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Packs whose cells hold anything from half of their label to all of it are drawn empty through a
 * night from full, their capacity measured or not: each time told holds the true one.
 */
class EmptyAheadTest {
  private static final double LABEL_AH = 100;

  /** From half past five until eight, h begun. */
  private static final int NIGHT_H = 15;

  /** {@link #results} by what is believed: made from facts, they cost more than the rules. */
  private static final Map<Double, List<Result>> KNOWN = new HashMap<>();

  private final PackPlan plan = PackPlan.of("crate", Chemistry.LFP, 4, 1, 100_000);

  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void theTimesToldHoldTheTrueOne(boolean isMeasured) {
    int told = 0;
    for (long seed = 1; seed <= 40; seed++) {
      told += night(new Random(seed * 0x9E3779B97F4A7C15L), isMeasured, "seed " + seed);
    }
    assertThat(told).as("looked at").isGreaterThan(300);
  }

  /** The rule without the others, whose work costs more than its own. */
  private static AlertSettings alone(PackPlan plan) {
    AlertSettings alone = Rules.defaults(plan);
    for (RuleSettings rule : alone.all()) {
      boolean isIt = rule.rule().equals(Rules.id("empty-ahead"));
      alone = alone.with(rule.withEnabled(isIt));
    }
    return alone;
  }

  private static List<AlertEvent> take(AlertEngine engine, FixedView view, LogEntry entry) {
    view.take(entry);
    return engine.onEntry(entry, view);
  }

  /** A minute at a load on the plateau. */
  private static List<AlertEvent> draw(
      AlertEngine engine, FixedView view, long atMs, double loadA) {
    Reading reading =
        Reading.at(atMs)
            .cells(CellVoltages.ofMv(3250, 3250, 3250, 3250))
            .currentMa((int) Math.round(-loadA * 1000))
            .build();
    return take(engine, view, reading);
  }

  /** One night; how many times the alert stood and was looked at. */
  private int night(Random random, boolean isMeasured, String as) {
    double holds = LABEL_AH * (0.52 + 0.47 * random.nextDouble());
    double loadA = 6 + random.nextInt(20);
    AlertEngine engine = new AlertEngine(plan, alone(plan));
    FixedView view = new FixedView(plan);
    long now = Instant.parse("2026-01-10T17:30:00Z").toEpochMilli();
    take(engine, view, new SessionStart(now, 1, true, true));
    int told = 0;
    for (double drawn = 0; drawn < holds; drawn += loadA / 60) {
      now += 60_000;
      know(view, drawn, isMeasured ? holds : LABEL_AH, isMeasured, now);
      draw(engine, view, now, loadA);
      double hours = (holds - drawn) / loadA;
      for (Alert alert : engine.standing()) {
        boolean isPast = alert.text().startsWith("No longer the case");
        if (alert.key().rule().equals(Rules.id("empty-ahead")) && !isPast) {
          told++;
          assertThat(hours)
              .as("%s, %.0f Ah at %.0f A: %s", as, holds, loadA, alert.text())
              .isBetween(hours(alert, "hours_left_low"), hours(alert, "hours_left_high"));
          assertThat(alert.text().contains("never measured")).isEqualTo(!isMeasured);
          // What a night draws is not known yet: what may outlast it is told with its condition.
          double most = hours(alert, "hours_left_high");
          boolean isSure = most < hours(alert, "hours_to_sun");
          assertThat(isSure || alert.text().startsWith("If ")).as(alert.text()).isTrue();
          assertThat(alert.text()).doesNotContain("likely");
        }
      }
    }
    return told;
  }

  /**
   * Used packs that nobody measured, a week of nights each: they begin full or not, and their loads
   * go by the hour, as a household's habit has it, and by the day. The rule notes what is so in
   * five cases of six by what is known, and the true middle of what a used pack holds is not above
   * the one believed here: so no more than one note of six is wrong. How many nights are foreseen
   * is no guarantee.
   */
  @Test
  void whatIsToldOfAWornPackIsWorthReading() {
    int emptied = 0;
    int right = 0;
    int wrong = 0;
    for (long seed = 1; seed <= 60; seed++) {
      Random random = new Random(seed * 0x9E3779B97F4A7C15L);
      double holds = LABEL_AH * (0.5 + 0.5 * random.nextDouble());
      double usualA = 1.5 + 4 * random.nextDouble();
      double[] habit = random.doubles(NIGHT_H, 0.3, 1.7).toArray();
      AlertEngine engine = new AlertEngine(plan, alone(plan));
      FixedView view = new FixedView(plan);
      Instant evening = Instant.parse("2026-01-10T17:30:00Z");
      SessionStart start = new SessionStart(evening.toEpochMilli() - 6 * 3_600_000, 1, true, true);
      take(engine, view, start);
      for (int night = 0; night < 7; night++) {
        double dayA = usualA * (0.6 + 0.8 * random.nextDouble());
        double[] amperes =
            DoubleStream.of(habit).map(h -> dayA * h * (0.7 + 0.6 * random.nextDouble())).toArray();
        double drawn = random.nextBoolean() ? 0 : 0.4 * holds * random.nextDouble();
        Instant begin = evening.plusSeconds(86_400L * night);
        boolean isTold = isToldOf(engine, view, begin, amperes, drawn, holds);
        boolean isEmpty =
            drawn + DoubleStream.of(amperes).sum() - amperes[NIGHT_H - 1] / 2 >= holds;
        emptied += isEmpty ? 1 : 0;
        right += isEmpty && isTold ? 1 : 0;
        wrong += !isEmpty && isTold ? 1 : 0;
      }
    }
    System.out.println("emptied " + emptied + " of 420, right " + right + ", wrong " + wrong);
    assertThat(emptied).as("emptied").isBetween(60, 360);
    assertThat(right).as("told").isGreaterThan(30);
    assertThat(wrong).as("told though it lasted, beside " + right).isLessThanOrEqualTo(right / 5);
  }

  /**
   * True where it was told anew from half past five until eight, or until the pack is empty.
   *
   * @param amperes the load, each hour from then
   * @param before what was drawn since the pack was full, Ah
   */
  private boolean isToldOf(
      AlertEngine engine,
      FixedView view,
      Instant evening,
      double[] amperes,
      double before,
      double holds) {
    for (int minute = 0; minute < 60; minute++) {
      long noon = evening.toEpochMilli() - 5 * 3_600_000 + minute * 60_000L;
      know(view, before, LABEL_AH, false, noon);
      Reading charging =
          Reading.at(noon).cells(CellVoltages.ofMv(3400, 3400, 3400, 3400)).currentMa(5000).build();
      take(engine, view, charging);
    }
    boolean isTold = false;
    double drawn = before;
    for (int minute = 0; minute < 870 && drawn < holds; minute++) {
      long now = evening.toEpochMilli() + minute * 60_000L;
      know(view, drawn, LABEL_AH, false, now);
      // What a worn pack may hold widens the count downwards.
      view.soc = view.soc.map(c -> new Interval(Math.max(0, c.low() - 4), c.mid(), c.high()));
      for (AlertEvent event : draw(engine, view, now, amperes[minute / 60])) {
        isTold |=
            event.alert().key().rule().equals(Rules.id("empty-ahead"))
                && event.change() != AlertEvent.Change.CLEARED;
      }
      drawn += amperes[minute / 60] / 60;
    }
    return isTold;
  }

  @Test
  void loadsThatComeAndGoRaiseItOnceANight() {
    int raised = 0;
    int eased = 0;
    for (long seed = 1; seed <= 40; seed++) {
      Random random = new Random(seed * 0x9E3779B97F4A7C15L);
      AlertEngine engine = new AlertEngine(plan, alone(plan));
      FixedView view = new FixedView(plan);
      long start = Instant.parse("2026-01-10T18:00:00Z").toEpochMilli();
      take(engine, view, new SessionStart(start, 1, true, true));
      int ofNight = 0;
      double drawn = 0;
      double loadA = 0;
      for (int minute = 0; minute < 14 * 60; minute++) {
        loadA = minute % 30 == 0 ? new double[] {0, 2, 30}[random.nextInt(3)] : loadA;
        drawn = Math.min(drawn + loadA / 60, LABEL_AH);
        long now = start + minute * 60_000L;
        know(view, drawn, LABEL_AH, true, now);
        for (AlertEvent event : draw(engine, view, now, loadA)) {
          boolean isIt = event.alert().key().rule().equals(Rules.id("empty-ahead"));
          ofNight += isIt && event.change() == AlertEvent.Change.RAISED ? 1 : 0;
        }
        eased +=
            (int)
                engine.standing().stream()
                    .filter(a -> a.text().startsWith("No longer the case"))
                    .count();
      }
      assertThat(ofNight).as("seed %d", seed).isLessThanOrEqualTo(1);
      raised += ofNight;
    }
    assertThat(raised).isGreaterThan(20);
    assertThat(eased).as("minutes in which it had eased").isGreaterThan(100);
  }

  /**
   * Households that cook and wash in the evening and sleep later, night by night, their packs
   * measured. A warning must be wrong less than once in 50 pack-days, which is what it is held to
   * where tonight is all that is known. Where it rests on the least of some nights before, the next
   * is lighter than all of them in one night of those and one more, so no bound is nearer than
   * that. Told of in time: what is left an hour and the quarter of delay before the end is what
   * these draw, and the rule tells once tonight's mean would draw it and tonight drew as much
   * already. So none is late whose load does not rise by half at its end, and which ends so long
   * before the sun that tonight's mean would draw it; what nights before taught to be light may be.
   */
  @ParameterizedTest
  @ValueSource(ints = {0, 6})
  void anEveningsLoadIsNotTakenForThatOfTheWholeNight(int nightsBefore) {
    int emptied = 0;
    int late = 0;
    int lasted = 0;
    int wolf = 0;
    for (long seed = 1; seed <= 300; seed++) {
      Random random = new Random(seed * 0x9E3779B97F4A7C15L);
      double baseA = 1.2 + 3.8 * random.nextDouble();
      AlertEngine engine = new AlertEngine(plan, alone(plan));
      FixedView view = new FixedView(plan);
      for (int night = 0; night <= nightsBefore; night++) {
        Night drawn = new Night(random, baseA);
        double toldBeforeH = told(engine, view, drawn, night);
        if (night < nightsBefore) {
          continue;
        }
        if (drawn.emptyMinute() < Night.MINUTES - 30) {
          emptied++;
          boolean isForeseen = drawn.riseAtEnd() < 1.5 && drawn.emptyMinute() < Night.MINUTES - 90;
          late += toldBeforeH < 1 && isForeseen ? 1 : 0;
        } else if (drawn.emptyMinute() == Integer.MAX_VALUE) {
          lasted++;
          wolf += warned ? 1 : 0;
        }
      }
    }
    assertThat(emptied).isGreaterThan(60);
    assertThat(lasted).isGreaterThan(60);
    int oddNights = nightsBefore + 1;
    boolean isAlone = nightsBefore == 0;
    assertThat(late)
        .as("of " + emptied + " that were empty")
        .isLessThanOrEqualTo(isAlone ? 0 : emptied / oddNights);
    assertThat(wolf)
        .as("of " + lasted + " that lasted")
        .isLessThanOrEqualTo(isAlone ? (emptied + lasted) / 50 : lasted / oddNights);
  }

  /** A load from 17:30 until 8:00, in steps of 10 to 90 min; a reading is every second minute. */
  private static final class Night {
    private static final int MINUTES = 870;
    private static final int BETWEEN = 2;
    private final double[] amperes = new double[MINUTES];

    Night(Random random, double baseA) {
      int until = 0;
      double now = 0;
      for (int minute = 0; minute < MINUTES; minute++) {
        if (minute >= until) {
          boolean isBusy = minute < 330 && random.nextInt(5) < 2;
          now = baseA * (1 + random.nextDouble() * (isBusy ? 8 : 2));
          until = minute + 10 + BETWEEN * random.nextInt(80 / BETWEEN);
        }
        amperes[minute] = now;
      }
    }

    /** The load of the last 75 min before it is empty, of that of the night until then. */
    double riseAtEnd() {
      int end = emptyMinute();
      int from = Math.max(1, end - 75);
      double before = DoubleStream.of(amperes).limit(from).average().orElseThrow();
      return DoubleStream.of(amperes).skip(from).limit(end - from).average().orElseThrow() / before;
    }

    /** The minute at which its whole label is drawn. */
    int emptyMinute() {
      double drawn = 0;
      for (int minute = 0; minute < MINUTES; minute++) {
        drawn += amperes[minute] / 60;
        if (drawn >= LABEL_AH) {
          return minute;
        }
      }
      return Integer.MAX_VALUE;
    }
  }

  private boolean warned;

  /** How long before the pack is empty, or the night over, it was told; 0 when it was not, h. */
  private double told(AlertEngine engine, FixedView view, Night night, int day) {
    long start = Instant.parse("2026-01-10T17:30:00Z").toEpochMilli() + day * 86_400_000L;
    view.phase = Optional.empty();
    view.take(new SessionStart(start, 1, true, true));
    engine.onEntry(new SessionStart(start, 1, true, true), view);
    double toldBeforeH = 0;
    warned = false;
    double drawn = 0;
    for (int minute = 0; minute < Night.MINUTES + 30; minute += Night.BETWEEN) {
      double amperes = drawn >= LABEL_AH ? 0 : minute < Night.MINUTES ? night.amperes[minute] : -5;
      drawn += amperes * Night.BETWEEN / 60;
      long now = start + minute * 60_000L;
      know(view, drawn, LABEL_AH, true, now);
      if (drawn > 0.95 * LABEL_AH) {
        view.phase = Optional.of(Phase.LOWER_KNEE);
      }
      Reading reading =
          Reading.at(now)
              .cells(CellVoltages.ofMv(3250, 3250, 3250, 3250))
              .currentMa((int) Math.round(-amperes * 1000))
              .build();
      view.take(reading);
      boolean isTold = false;
      for (AlertEvent event : engine.onEntry(reading, view)) {
        boolean isNew =
            event.alert().key().rule().equals(Rules.id("empty-ahead"))
                && (event.change() == AlertEvent.Change.RAISED
                    || event.change() == AlertEvent.Change.ESCALATED);
        isTold |= isNew;
        warned |= isNew && event.alert().priority() == Priority.WARNING;
      }
      if (isTold && toldBeforeH == 0) {
        toldBeforeH = (Math.min(night.emptyMinute(), Night.MINUTES) - minute) / 60.0;
      }
    }
    return toldBeforeH;
  }

  private static double hours(Alert alert, String fact) {
    double rounding = fact.endsWith("low") ? -0.1 : 0.1;
    return alert.evidence().number(fact).orElseThrow() + rounding;
  }

  /** What a count from full by a capacity says, as bounds of 3 percent or of the label. */
  private static void know(
      FixedView view, double drawn, double believed, boolean isMeasured, long now) {
    double least = believed * (isMeasured ? 0.97 : 0.8);
    double most = believed * 1.03;
    double low = Math.max(0, 98.5 - 100 * drawn / least);
    double high = Math.max(low, 100 - 100 * drawn / most);
    double mid = Math.max(low, Math.min(high, 100 - 100 * drawn / believed));
    view.soc = Optional.of(new Interval(low, mid, high));
    view.standing =
        KNOWN.computeIfAbsent(believed, EmptyAheadTest::results).stream()
            .limit(isMeasured ? 2 : 1)
            .map(result -> new Finding(now, now, result, ""))
            .toList();
  }

  /** What a count from full and a capacity test tell of a pack believed to hold so many Ah. */
  private static List<Result> results(double believed) {
    Facts count = Facts.of().put("anchor", "full").put("capacity_ah", believed, 2).build();
    Facts test =
        Facts.of()
            .put("ah", believed, 2)
            .put("ah_low", believed * 0.98, 2)
            .put("ah_high", believed * 1.02, 2)
            .build();
    return List.of(
        ResultForm.read(SocResult.class, count), ResultForm.read(CapacityResult.class, test));
  }
}
