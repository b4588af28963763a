package org.cellherd.alert.rule;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.OptionalInt;
import java.util.Random;
import java.util.function.IntFunction;
import java.util.stream.IntStream;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.PackPlan.CellRating;
import org.cellherd.pack.PackPlan.FuseRating;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * A limit is exceeded by one step of what a board can say and not by its equal; what is exceeded is
 * what is named; and it is over at the deadband, not a step before. Whole numbers of steps judge
 * it.
 */
class LimitsToTheStepTest {
  private static final long START_MS = 1_767_225_600_000L;
  private static final int RUNS = 40;

  /** A day. */
  private static final long HABIT_MS = 86_400_000L;

  /** A rule with a warning before its limit, in steps of what a board says. */
  private enum Limit {
    CELL_HIGH("cell-high", "mv", 1, 10, Limit::cell),
    CELL_LOW("cell-low", "mv", -1, 10, Limit::cell),
    HOT("hot", "c", 1, 10, celsius -> temperatures(celsius, 200)),
    HOT_SWITCH("hot", "c", 1, 10, celsius -> temperatures(200, celsius)),
    CHARGE("over-current", "a", 1, 1000, amps -> current(amps)),
    DISCHARGE("over-current", "a", 1, 1000, amps -> current(-amps));

    private final RuleId id;
    private final String unit;
    private final int sign;
    private final int steps;
    private final IntFunction<Reading> reading;

    Limit(String word, String unit, int sign, int steps, IntFunction<Reading> reading) {
      this.id = Rules.id(word);
      this.unit = unit;
      this.sign = sign;
      this.steps = steps;
      this.reading = reading;
    }

    private static Reading cell(int tenthMv) {
      return Reading.at(START_MS).cells(CellVoltages.ofTenthMv(33_000, tenthMv)).build();
    }

    private static Reading temperatures(int cell, int board) {
      return Reading.at(START_MS).temperatures(Temperatures.ofTenthC(cell, board)).build();
    }

    private static Reading current(int ma) {
      return Reading.at(START_MS).currentMa(ma).build();
    }

    private String key(String name) {
      return (this == HOT_SWITCH ? "switch_" : "") + name + "_" + unit;
    }

    private int ofCell() {
      return unit.equals("mv") ? 2 : 0;
    }

    private int draw(Random random) {
      return switch (unit) {
        case "mv" -> 2500 + random.nextInt(1000);
        case "c" -> 40 + random.nextInt(60);
        default -> 20 + random.nextInt(200);
      };
    }

    /** Binary fractions, so that no rounding of a setting stands between the steps. */
    private RuleSettings settings(RuleSettings usual, int warn, int limit, int deadband) {
      RuleSettings set = usual.with(key("warn"), warn).with(key("limit"), limit);
      return switch (this) {
        case CELL_LOW -> set.with("frost_mv", 0).with("deadband_mv", deadband);
        case CHARGE, DISCHARGE -> set.with("deadband_pct", 25);
        default -> set.with("deadband_" + unit, deadband);
      };
    }

    /** How far below the warning it is over, in steps; a share of a current, else stated. */
    private int over(int warn, int deadband) {
      return unit.equals("a") ? warn * steps / 4 : deadband * steps;
    }
  }

  @ParameterizedTest
  @EnumSource
  void aLimitHoldsToTheStep(Limit kind) {
    PackPlan plan = plan(2).build();
    AlertSettings usual = Rules.defaults(plan);
    for (int seed = 1; seed <= RUNS; seed++) {
      Random random = new Random(seed);
      int limit = kind.draw(random);
      int stated = kind.draw(random);
      int deadband = random.nextInt(10);
      // A warning beyond the limit is none.
      int warn = kind.sign * Math.min(kind.sign * stated, kind.sign * limit);
      int over = warn * kind.steps - kind.sign * kind.over(warn, deadband);
      RuleSettings set = kind.settings(usual.rule(kind.id), stated, limit, deadband);
      JudgedRule rule = new JudgedRule(plan, usual.with(set), kind.id);
      for (int edge : new int[] {limit * kind.steps, warn * kind.steps, over}) {
        for (int at = edge - 1; at <= edge + 1; at++) {
          boolean isOver = kind.sign * at > kind.sign * limit * kind.steps;
          boolean isWarned = kind.sign * at > kind.sign * warn * kind.steps;
          int level = isOver ? 2 : isWarned ? 1 : 0;
          Judgement said = rule.of(kind.ofCell(), kind.reading.apply(at));
          assertThat(List.of(said.level(), said.inside(), said.value(), said.limit()))
              .as("seed %d, %s at %d of %d, %d", seed, kind, at, warn, limit)
              .containsExactly(
                  level,
                  kind.sign * at <= kind.sign * over,
                  Math.abs(at) / (double) kind.steps,
                  (double) (level == 1 ? warn : limit));
        }
      }
    }
  }

  /** The worse level is told, else what is farther over its warning. */
  @ParameterizedTest
  @CsvSource({
    "610, 1010, 2, switch", "720, 1010, 2, cell", "600, 1001, 2, switch", "601, 1000, 2, cell",
    "510, 810, 1, cell", "509, 810, 1, switch", "400, 700, 0, cell", "601, , 2, cell",
    ", 801, 1, switch", "500, 790, 0, cell"
  })
  void ofCellsAndSwitchesTheHotterForItselfIsTold(
      Integer cell, Integer board, int level, String told) {
    PackPlan plan = plan(2).build();
    Reading reading =
        Reading.at(START_MS).temperatures(Temperatures.ofOptional(of(cell), of(board))).build();
    JudgedRule hot = new JudgedRule(plan, Rules.defaults(plan), Hot.ID);

    Judgement said = hot.of(0, reading);

    assertThat(said.level()).isEqualTo(level);
    assertThat(said.words().get().evidence().text("place")).hasValue(told);
    assertThat(said.words().get().what())
        .startsWith(told.equals("cell") ? "Cells at " : "Board switches at ");
  }

  private static OptionalInt of(Integer value) {
    return value == null ? OptionalInt.empty() : OptionalInt.of(value);
  }

  @ParameterizedTest
  @CsvSource({"-200, 0, false", "-201, 1, false", "-180, 0, true", "-181, 0, false"})
  void coldHoldsToTheStep(int tenthC, int level, boolean isInside) {
    PackPlan plan = plan(2).build();
    AlertSettings usual = Rules.defaults(plan);
    AlertSettings settings = usual.with(usual.rule(Cold.ID).with("limit_c", -20));

    Judgement said = new JudgedRule(plan, settings, Cold.ID).of(0, Limit.temperatures(tenthC, 0));

    assertThat(said.level()).isEqualTo(level);
    assertThat(said.inside()).isEqualTo(isInside);
    assertThat(said.value()).isEqualTo(tenthC / 10.0);
    assertThat(said.limit()).isEqualTo(-20);
  }

  /** 100 Ah: slow is up to 10 A. */
  @ParameterizedTest
  @CsvSource({
    "-1, 1000, 2, false, 0",
    "-1, 0, 0, true, 0",
    "-1, -5000, 0, true, 0",
    "0, 1000, 0, false, 0",
    "0, 10000, 0, false, 0",
    "0, 10001, 1, false, 5",
    "49, 10001, 1, false, 5",
    "50, 10001, 0, false, 0",
    "59, 10001, 0, false, 0",
    "60, 10001, 0, true, 0",
    "9, 10000, 0, false, 0",
    "10, 10000, 0, true, 0",
    "10, 10001, 1, false, 5"
  })
  void coldChargeHoldsToTheStep(int tenthC, int ma, int level, boolean isInside, double limit) {
    PackPlan plan = plan(2).build();
    JudgedRule rule = new JudgedRule(plan, Rules.defaults(plan), ColdCharge.ID);
    // The board's switches are colder: they are no cell.
    Reading reading =
        Reading.at(START_MS)
            .temperatures(Temperatures.ofTenthC(tenthC, -300))
            .currentMa(ma)
            .build();

    Judgement said = rule.of(0, reading);

    assertThat(said.level()).isEqualTo(level);
    assertThat(said.inside()).isEqualTo(isInside);
    assertThat(said.limit()).isEqualTo(limit);
    assertThat(said.value()).isEqualTo(tenthC / 10.0);
  }

  @Test
  void withoutACurrentNothingIsSaidOfAColdCharge() {
    PackPlan plan = plan(2).build();
    JudgedRule rule = new JudgedRule(plan, Rules.defaults(plan), ColdCharge.ID);

    assertThat(rule.judge(Limit.temperatures(-100, 200))).isEmpty();
    assertThat(rule.judge(Limit.current(5000))).isEmpty();
  }

  /** Below 0 degC, of a cell and not of the board, 2.0 V; else 2.5 V. */
  @ParameterizedTest
  @CsvSource({"-1, 200, 2000", "0, 200, 2500", "200, -1, 2500", ", -1, 2500"})
  void frostLowersTheLowLimitOfALfpCell(Integer cell, int board, int limitMv) {
    PackPlan plan = plan(2).build();
    JudgedRule rule = new JudgedRule(plan, Rules.defaults(plan), CellLow.ID);
    Reading.Builder reading =
        Reading.at(START_MS).temperatures(Temperatures.ofOptional(of(cell), of(board)));
    int limit = limitMv * 10;

    assertThat(rule.of(1, reading.cells(CellVoltages.ofTenthMv(limit, 33_000)).build()))
        .matches(at -> at.level() == 1);
    assertThat(rule.of(1, reading.cells(CellVoltages.ofTenthMv(limit - 1, 33_000)).build()))
        .matches(below -> below.level() == 2 && below.limit() == limitMv);
  }

  /** A pack of four: 20 mV above its share no charger is an alarm; the sheet's 3.650 V else. */
  @ParameterizedTest
  @CsvSource({
    "14000, 3650, 3600",
    "14320, 3650, 3600",
    "14324, 3650, 3601",
    "14556, 3650, 3659",
    "14560, 3660, 3660",
    "14600, 3670, 3670"
  })
  void theHighLimitKeepsClearOfTheCharger(int chargeMv, int limitMv, int warnMv) {
    RuleSettings set = Rules.defaults(plan(4).chargeMv(chargeMv).build()).rule(CellHigh.ID);

    assertThat(set.number("limit_mv")).isEqualTo(limitMv);
    assertThat(set.number("warn_mv")).isEqualTo(warnMv);
  }

  /**
   * Of a plan's ratings the weakest warns, A; cells in parallel share; what is untold limits
   * nothing.
   */
  @ParameterizedTest
  @CsvSource({
    "50, 200, 120, 300, 80, 80, 300",
    "50, 90, 120, 300, 150, 100, 180",
    "50, 90, 60, 70, 150, 60, 70",
    ", , , , 40, 40, 50",
    ", , 100, , , 100, 125",
    "30, , , , , 60, 75",
    ", , , , , 100000, 100000"
  })
  void theWeakestRatingLimitsTheCurrent(
      Integer cell, Integer peak, Integer board, Integer trip, Integer fuse, int warn, int limit) {
    OptionalInt untold = OptionalInt.empty();
    PackPlan.Builder plan =
        PackPlan.builder("crate", Chemistry.LFP, 4, 2, 100_000)
            .cell(new CellRating(ma(cell), ma(peak), untold))
            .board(new BoardRating("b", ma(board), ma(trip), untold, untold, untold, untold));
    if (fuse != null) {
      plan.fuse(new FuseRating(fuse * 1000, untold, untold));
    }

    RuleSettings set = Rules.defaults(plan.build()).rule(OverCurrent.ID);

    assertThat(set.number("warn_a")).isEqualTo(warn);
    assertThat(set.number("limit_a")).isEqualTo(limit);
  }

  private static OptionalInt ma(Integer amps) {
    return amps == null ? OptionalInt.empty() : OptionalInt.of(amps * 1000);
  }

  /** What to do first depends on which way the current goes. */
  @ParameterizedTest
  @CsvSource({
    "cell-high, 37000, 5000, Lower the charge current", "cell-high, 37000, 0, Stop the charge and",
    "cell-low, 20000, -5000, Reduce or disconnect the load", "cell-low, 20000, 0, Charge the pack",
    "cell-low, 20000, 5000, Charge the pack", "over-current, 33000, 90000, Lower the charge",
    "over-current, 33000, -90000, Reduce or disconnect the load"
  })
  void theFirstStepFollowsTheCurrent(String word, int tenthMv, int ma, String step) {
    PackPlan plan =
        plan(2).fuse(new FuseRating(40_000, OptionalInt.empty(), OptionalInt.empty())).build();
    Reading reading =
        Reading.at(START_MS).cells(CellVoltages.ofTenthMv(tenthMv, 33_000)).currentMa(ma).build();

    Judgement said =
        new JudgedRule(plan, Rules.defaults(plan), Rules.id(word))
            .judge(reading)
            .values()
            .iterator()
            .next();

    assertThat(said.level()).isEqualTo(2);
    assertThat(said.words().get().firstStep()).startsWith(step);
    if (word.equals("over-current")) {
      assertThat(said.words().get().what()).startsWith(ma > 0 ? "Charge cur" : "Discharge cur");
    }
  }

  /**
   * Zeros behind the planned cells are places that the board has; one among them is a cell at 0 V.
   */
  @ParameterizedTest
  @CsvSource({"4, 0, 0", "3, 0, 1", "5, 0, 1", "4, 4, 0", "5, 3, 1", "3, 1, 0"})
  void aCellCountUnlikeThePlanIsSaidAtOnce(int cells, int zeros, int level) {
    PackPlan plan = plan(4).build();

    Judgement said =
        new JudgedRule(plan, Rules.defaults(plan), CellCount.ID).of(0, cells(0, cells, zeros));

    assertThat(said.level()).isEqualTo(level);
    assertThat(said.inside()).isEqualTo(level == 0);
    assertThat(said.limit()).isEqualTo(4);
  }

  /** A board that was set to other cells is told for as long as the new number is no habit. */
  @Test
  void aChangedCellCountIsSaidUntilItIsAHabit() {
    JudgedRule rule =
        new JudgedRule(plan(4).build(), Rules.defaults(plan(4).build()), CellCount.ID);
    assertThat(rule.of(0, cells(0, 4, 4)).level()).isZero();
    assertThat(rule.of(0, cells(1, 4, 12)))
        .matches(said -> said.level() == 1 && !said.inside())
        .matches(
            said -> said.words().get().what().endsWith("reports 16 cells, it used to report 8"));
    rule.restart();
    assertThat(rule.of(0, cells(1 + HABIT_MS, 4, 12)).level()).isEqualTo(1);
    assertThat(rule.of(0, cells(2 + HABIT_MS, 4, 12)).level()).isZero();
    assertThat(rule.of(0, cells(3 + HABIT_MS, 3, 0)).words().get().what())
        .endsWith("reports 3 cells, the plan has 4");
    assertThat(rule.judge(Limit.current(1000))).isEmpty();
  }

  private static Reading cells(long afterMs, int cells, int zeros) {
    int[] tenthMv = IntStream.range(0, cells + zeros).map(i -> i < cells ? 33_000 : 0).toArray();
    return Reading.at(START_MS + afterMs).cells(CellVoltages.ofTenthMv(tenthMv)).build();
  }

  private static PackPlan.Builder plan(int series) {
    return PackPlan.builder("crate", Chemistry.LFP, series, 1, 100_000)
        .chargeMv(3_500 * series)
        .sensors(List.of(SensorRole.CELL, SensorRole.SWITCH));
  }
}
