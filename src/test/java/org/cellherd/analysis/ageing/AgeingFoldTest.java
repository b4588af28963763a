package org.cellherd.analysis.ageing;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.FoldBench;
import org.cellherd.analysis.ModelPack;
import org.cellherd.analysis.capacity.CapacityFold;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class AgeingFoldTest {
  private static final PackPlan PLAN =
      PackPlan.builder("p", Chemistry.LFP, 4, 1, 100_000)
          .chargeMv(4 * 3500)
          .priorCycles(1000)
          .build();
  private static final long STEP_MS = 120_000;

  private final List<LogEntry> log = new ArrayList<>();
  private final ModelPack pack = new ModelPack(PLAN, 1_800_000_000_000L, 0.8);

  @Test
  void countsCyclesOfDailyUse() {
    days(10, 0.5);

    Facts facts = bench().standing().facts();
    assertThat(number(facts, "cycles_in_log")).isCloseTo(10 * 0.5, within(0.5));
    assertThat(number(facts, "equivalent_full_cycles")).isCloseTo(1005, within(0.5));
    assertThat(number(facts, "mean_depth_pct")).isBetween(45.0, 55.0);
    assertThat(number(facts, "mean_temp_c")).isEqualTo(25);
  }

  /** What a sensor prints while nothing flows is no use of the pack, however long it stands. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void theMeanRateIsOneThatFlowed(long seed) {
    Random random = new Random(seed);
    double offset = 0.2 * (2 * random.nextDouble() - 1);
    double load = 5 + 35 * random.nextDouble();
    for (int i = 0; i < 20 * 720; i++) {
      log.add(pack.step(STEP_MS, i % 3_000 < 15 ? -load : offset));
    }

    assertThat(number(bench().standing().facts(), "mean_crate") * 100)
        .isBetween(0.8 * load, load + 0.01);
  }

  /** In the heat, so that the end comes within the time of which anything is said. */
  @Test
  void lifeLeftIsAnIntervalToBothEnds() {
    pack.temperature(38);
    days(10, 0.5);

    List<?> life = (List<?>) bench().standing().facts().get("life").orElseThrow();
    Facts to80 = (Facts) life.get(0);
    Facts to70 = (Facts) life.get(1);
    assertThat(number(to80, "low_years")).isPositive();
    assertThat(number(to80, "low_years")).isLessThan(number(to80, "mid_years"));
    assertThat(number(to80, "high_years")).isGreaterThan(number(to80, "mid_years"));
    assertThat(number(to70, "mid_years")).isGreaterThan(number(to80, "mid_years"));
    assertThat(bench().standing().facts().text("life_basis")).contains("model only");
  }

  /** Nobody tested the pack, and nobody has watched such cells for longer. */
  @Test
  void withoutATestLifeIsConditionalAndBounded() {
    pack.temperature(12);
    days(10, 0.1);

    assertThat(bench().standing().sentence())
        .contains("If it still holds its rated capacity, life left to 80 %: more than 20 years;");
  }

  /** The one figure that lies beyond is named, so that its owner can judge it. */
  @Test
  void useBeyondTheModelIsNamed() {
    pack.temperature(4);
    days(10, 0.1);

    assertThat(bench().standing().sentence())
        .contains("Life left: the cells are at 4 °C on average, and the ageing model knows 10 to")
        .doesNotContain("current is");
    assertThat(new Usage(25, 0.5, 0.5, 0.8, 1).beyondModel())
        .isEqualTo("the mean current is 0.80C, and the ageing model knows up to 0.65C");
  }

  /** The model's data are of deep cycles: shallower ones are not taken as gentler. */
  @Test
  void shallowCyclesCountAsDeepOnes() {
    Usage shallow = new Usage(25, 0.6, 0.2, 0.2, 1);
    Usage deep = new Usage(25, 0.6, 0.8, 0.2, 1);

    assertThat(shallow.cyclingRate()).isEqualTo(deep.cyclingRate());
  }

  @Test
  void aCapacityTestBecomesTheStartingPoint() {
    pack.cell(2, 82, 0.8);
    days(8, 0.5);
    days(1, -1);

    Facts facts = bench().standing().facts();
    assertThat(number(facts, "rated_pct")).isCloseTo(82, within(1.0));
    assertThat(facts.text("life_basis")).contains("model from the measured capacity");
    assertThat(bench().standing().sentence())
        .containsPattern(
            "Capacity at room temperature [0-9.]+ to [0-9.]+ Ah, 78 to 84 % of the rated");
  }

  /** A test in the cold gives less, and its bounds are wide: no end is reached that may not be. */
  @ParameterizedTest
  @ValueSource(ints = {25, 12, 3})
  void noEndIsReachedThatTheBoundsOfTheTestLeaveOpen(int celsius) {
    Random random = new Random(celsius);
    days(8, 0.5);
    List<AgeingFold> made = new ArrayList<>();
    PackAnalysis.FoldMaker maker =
        (plan, settings, moment) -> {
          made.add(new AgeingFold(plan, settings, moment));
          return made.get(0);
        };
    log.forEach(new FoldBench(PLAN, AnalysisSettings.of(PLAN), FindingName.AGEING, maker)::feed);
    AgeingFold fold = made.get(0);
    SavedState untested = SavedState.of(fold::state);
    for (int draw = 0; draw < 200; draw++) {
      double share = 0.6 + 0.4 * random.nextDouble();
      double cold = 1 - (0.01 * random.nextDouble()) * (25 - celsius);
      double half = 0.08 * random.nextDouble();
      double said = 100 * share * cold * (1 + half * (2 * random.nextDouble() - 1));
      untested.into(fold::state);
      fold.hear(test(said, said * half / (1 - half), celsius));
      List<?> life = (List<?>) fold.standing().orElseThrow().facts().get("life").orElseThrow();
      boolean isReached = number((Facts) life.get(0), "high_years") <= 0;
      assertThat(isReached && share > 0.8)
          .as("%.1f %% at %d °C reported as %.1f %%", 100 * share, celsius, said)
          .isFalse();
    }
  }

  private static Finding test(double ah, double half, double celsius) {
    Facts facts =
        Facts.of()
            .put("ah", ah, 3)
            .put("ah_low", ah - half, 3)
            .put("ah_high", ah + half, 3)
            .put("mean_temp_c", celsius, 1)
            .put("limited_by", "capacity")
            .build();
    return ResultForm.finding(FindingName.CAPACITY, 0, 0, facts, "");
  }

  /** It is on its plateau at each full charge, where nobody sees how far it is behind. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4})
  void aCellThatLeaksIsToldFromDischargesUntilItIsFullWithTheOthers(long seed) {
    Random random = new Random(seed);
    int cell = 1 + random.nextInt(4);
    double milliamps = 40 + 60 * random.nextDouble();
    pack.leak(cell, milliamps);
    days(15, -1);

    Facts leaking = (Facts) leaking().get(0);
    assertThat(leaking()).hasSize(1);
    assertThat(number(leaking, "cell")).isEqualTo(cell);
    assertThat(number(leaking, "leak_ma_low")).isBetween(10.0, milliamps);
    assertThat(leaking.number("leak_ma_high").orElse(milliamps)).isGreaterThanOrEqualTo(milliamps);

    pack.leak(cell, 0).cell(cell, 100, pack.soc(1 + cell % 4));
    days(3, -1);
    assertThat(leaking()).isEmpty();
  }

  @Test
  void aWornCellThatIsFullWithTheOthersDoesNotLeak() {
    for (int day = 0; day < 12; day++) {
      pack.cell(2, 90 - day, pack.soc(2));
      days(1, -1);
    }

    assertThat(leaking()).isEmpty();
  }

  private List<?> leaking() {
    return (List<?>) bench().standing().facts().get("leaking").orElseThrow();
  }

  /** A rule of the trade, common practice, no source: near 82 % some 2,000 cycles are used. */
  @Test
  void usedCyclesByTheTradesRule() {
    pack.cell(2, 82, 0.8);
    days(8, 0.5);
    days(1, -1);

    Facts facts = bench().standing().facts();
    assertThat(number(facts, "used_cycles_trade_low")).isLessThan(2_000);
    assertThat(number(facts, "used_cycles_trade_high")).isGreaterThan(2_000);
  }

  @Test
  void aFindingIsCompletedEveryThirtyDays() {
    days(62, 0.2);

    assertThat(bench().completed()).hasSize(2);
  }

  @Test
  void snapshotAndTailEqualTheWhole() {
    days(4, 0.5);
    days(1, -1);
    days(4, 0.3);
    FoldBench whole = bench();

    for (int cut : new int[] {5, 700, 4_000, log.size() - 4}) {
      whole.assertSameFromSnapshot(log, cut);
    }
  }

  /** Charges to full and draws a share, or all for a negative one; each day. */
  private void days(int count, double share) {
    for (int day = 0; day < count; day++) {
      long end = pack.timeMs() + 24 * 3_600_000L;
      for (int i = 0; i < 8 * 30; i++) {
        log.add(pack.charge(STEP_MS, 25, 14.0));
      }
      double until = share < 0 ? 0 : pack.soc(1) - share;
      while (pack.timeMs() < end) {
        boolean isLow =
            log.get(log.size() - 1) instanceof org.cellherd.pack.Reading r
                && r.cells().tenthMv(r.cells().lowestCell()) <= 25_000;
        log.add(pack.step(STEP_MS, pack.soc(1) > until && !isLow ? -15 : 0));
        if (isLow) {
          log.add(pack.step(end - pack.timeMs() > STEP_MS ? STEP_MS : 1_000, 0));
          while (pack.timeMs() < end) {
            log.add(pack.step(STEP_MS, 0));
          }
        }
      }
    }
  }

  private FoldBench bench() {
    FoldBench bench =
        new FoldBench(
            PLAN,
            AnalysisSettings.of(PLAN),
            FindingName.AGEING,
            CapacityFold::new,
            AgeingFold::new);
    log.forEach(bench::feed);
    return bench;
  }

  private static double number(Facts facts, String name) {
    return facts.number(name).orElse(Double.NaN);
  }
}
