package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.regex.Pattern;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.TestScenarios;
import org.junit.jupiter.api.Test;

/**
 * Weeks of sun through clouds, drawn at random, in which one cell leaks until it no longer comes to
 * its knee. Each bound of a lead is held against the truth by itself, those of open leads, too: "at
 * least" is a claim, and an upper bound needs that the last cell was seen.
 */
class DrawnSeasonsTest {
  private static final int PACKS = 6;
  private static final long SEED = 20_261_129;
  private static final long LOOK_MS = 21_600_000;

  @SuppressWarnings("InlineFormatString")
  private static final String PACK =
      """
      title = "drawn season"
      seed = %d
      start = 2026-04-10T00:00:00Z
      hours = %d
      step_s = 10
      poll_s = 60

      [[pack]]
      id = "barn"
      chemistry = "%s"
      series = %d
      parallel = 1
      rated_ah = %.0f
      decoder = "sorrel-16"

      [pack.cells]
      soc_pct = 60
      capacity_spread_pct = 3
      resistance_spread_pct = 15
      ahead_spread_ah = %.2f
      hysteresis_mv = %.1f

      [pack.board]
      cell_noise_mv = %.1f
      zero_below_ma = %d
      current_offset_ma = %.0f

      [pack.board.trip]
      high_mv = %d
      low_mv = %d
      %s
      [charger]
      amperes = %.1f
      hold_mv = %d

      [sun]
      peak_w = %.0f
      cloudiness = %.2f

      [[load]]
      name = "house"
      watts = %.0f

      [[fault]]
      kind = "leak"
      cell = "any"
      ma_per_ah = %.2f
      """;

  /** A pump that takes more than the sun gives: the board lets the charge go on behind it. */
  @SuppressWarnings("InlineFormatString")
  private static final String PUMP =
      """
      [[load]]
      name = "pump"
      watts = %.0f
      period_s = %d
      on_s = %d
      from_h = 9
      to_h = 17
      """;

  private final Random random = new Random(Long.getLong("cellherd.seed", SEED));
  private final Map<String, int[]> strata = new TreeMap<>();
  private final List<String> said = new ArrayList<>();
  private final Set<String> reasons = new HashSet<>();

  /** A cell that may be ahead of none is not the one to name. */
  private static final Pattern NAMED_UNKNOWN = Pattern.compile("[Cc]ell \\d+ (is|was) up to");

  private double between(double low, double high) {
    return low + (high - low) * random.nextDouble();
  }

  @Test
  void eachBoundOfALeadHoldsByItself() {
    for (int i = 0; i < Integer.getInteger("cellherd.runs", PACKS); i++) {
      judge(i);
    }
    strata.forEach((what, n) -> System.out.println(what + ": held " + n[0] + " of " + n[1]));

    strata.forEach(
        (what, n) -> assertThat(n[0]).as("%s of %d", what, n[1]).isGreaterThan(n[1] * 97 / 100));
    assertThat(strata).containsKeys("at least", "at most");
    assertThat(said).hasSizeGreaterThan(100).noneMatch(s -> NAMED_UNKNOWN.matcher(s).find());
  }

  /**
   * Sun and pump switch a third of 1C every few minutes while cells climb, and a surface that lags
   * by ten minutes makes the knee look steeper than it is.
   */
  @Test
  void eachBoundOfALeadHoldsWhereAChargeComesInBursts() {
    int runs = Integer.getInteger("cellherd.runs", PACKS);
    for (int i = 0; i < runs; i++) {
      judgeBursts(i);
    }
    strata.forEach(
        (what, n) -> System.out.println("bursts, " + what + ": " + n[0] + " of " + n[1]));

    strata.forEach(
        (what, n) -> assertThat(n[0]).as("%s of %d", what, n[1]).isGreaterThan(n[1] * 93 / 100));
    assertThat(strata).containsKeys("at least", "at most");
    assertThat(reasons).anyMatch(s -> s.startsWith("the current rose and fell"));
  }

  /**
   * Without a plateau each charge shows all cells, one curve for all of them, and what that is off
   * by is the same each day: forty charges know it no better than one.
   */
  @Test
  void eachBoundOfALeadHoldsWhereManyChargesErrAlike() {
    Sloping[] kinds = Sloping.values();
    for (int i = 0; i < Integer.getInteger("cellherd.runs", PACKS / 2); i++) {
      Sloping kind = kinds[i % kinds.length];
      double rated = between(60, 200);
      String text = sloping(i, kind, rated);
      new SimulatedRun(TestScenarios.read(text), false)
          .run(LOOK_MS, run -> count(kind.chemistry + ", ", run, rated));
    }
    strata.forEach((what, n) -> System.out.println(what + ": held " + n[0] + " of " + n[1]));

    strata.forEach(
        (what, n) -> assertThat(n[0]).as("%s of %d", what, n[1]).isGreaterThan(n[1] * 93 / 100));
    assertThat(strata).hasSize(2 * kinds.length);
  }

  private enum Sloping {
    SODIUM_ION("sodium-ion", 3880, 4000, 1900),
    LTO("lto", 2640, 2750, 1800),
    NMC("nmc", 4150, 4250, 3000);

    private final String chemistry;
    private final int heldMv;
    private final int highMv;
    private final int lowMv;

    Sloping(String chemistry, int heldMv, int highMv, int lowMv) {
      this.chemistry = chemistry;
      this.heldMv = heldMv;
      this.highMv = highMv;
      this.lowMv = lowMv;
    }
  }

  private String sloping(int number, Sloping kind, double rated) {
    int series = 4 + random.nextInt(5);
    double watts = rated * series * kind.heldMv / 1000;
    return String.format(
        Locale.ROOT,
        PACK,
        number + 1,
        24 * 45,
        kind.chemistry,
        series,
        rated,
        rated * between(0.001, 0.01),
        between(1, 8),
        between(0.2, 1.5),
        random.nextBoolean() ? 0 : 200,
        between(-100, 100),
        kind.highMv,
        kind.lowMv,
        "",
        rated * between(0.15, 0.3),
        series * kind.heldMv,
        watts * between(0.2, 0.3),
        between(0.2, 0.7),
        watts * between(0.012, 0.025),
        between(18, 38) / rated);
  }

  private void judgeBursts(int number) {
    double rated = between(25, 110);
    int series = 6 + random.nextInt(5);
    double watts = rated * series * 3.3;
    String text =
        String.format(
            Locale.ROOT,
            PACK + PUMP,
            number + 1,
            24 * 5,
            "lfp",
            series,
            rated,
            rated * between(0.005, 0.01),
            between(1, 8),
            between(0.2, 1.5),
            0,
            between(-100, 100),
            3650,
            2600,
            "high_release_mv = 3590\n",
            rated * between(0.28, 0.4),
            series * 3600,
            watts * between(0.28, 0.4),
            between(0, 0.2),
            watts * between(0.015, 0.04),
            between(25, 38) / rated,
            watts * between(0.4, 0.5),
            250 + random.nextInt(250),
            60 + random.nextInt(60));
    new SimulatedRun(TestScenarios.read(text), false)
        .run(
            LOOK_MS,
            run -> {
              count(run, rated);
              reasons.addAll(run.analysis().balance().reasons());
            });
  }

  private void judge(int number) {
    int series = 4 + random.nextInt(5);
    double rated = between(25, 110);
    String bleed =
        random.nextInt(3) > 0
            ? ""
            : "[pack.board.bleed]\nma = 60\nfrom_mv = 3420\nflag = false\nwhen = \"charging\"\n";
    double watts = rated * series * 3.3;
    String text =
        String.format(
            Locale.ROOT,
            PACK,
            number + 1,
            24 * 30,
            "lfp",
            series,
            rated,
            rated * between(0.001, 0.01),
            between(1, 8),
            between(0.2, 1.5),
            random.nextBoolean() ? 0 : 200,
            between(-100, 100),
            3650,
            2600,
            bleed,
            rated * between(0.15, 0.3),
            series * (random.nextBoolean() ? 3600 : 3480),
            watts * between(0.2, 0.3),
            between(0.2, 0.7),
            watts * between(0.012, 0.025),
            between(18, 38) / rated);
    Scenario scenario = TestScenarios.read(text);
    int[] before = sums();
    new SimulatedRun(scenario, false).run(LOOK_MS, run -> count(run, rated));
    int[] now = sums();
    System.out.println(
        "pack " + (number + 1) + ": " + (now[0] - before[0]) + " of " + (now[1] - before[1]));
  }

  private int[] sums() {
    return new int[] {
      strata.values().stream().mapToInt(n -> n[0]).sum(),
      strata.values().stream().mapToInt(n -> n[1]).sum()
    };
  }

  private void count(SimulatedRun run, double rated) {
    count("", run, rated);
  }

  private void count(String kind, SimulatedRun run, double rated) {
    double slack = Math.max(0.01, 0.001 * rated);
    run.standing(FindingName.BALANCE).ifPresent(f -> said.add(f.sentence()));
    for (Lead lead : run.analysis().balance().leads()) {
      double truth = run.truth().leadAh(lead.cell());
      Interval ah = lead.ah();
      if (ah.low() > slack) {
        count(kind + "at least", ah.low() - slack <= truth);
      }
      if (ah.high() < 0.2 * rated) {
        count(kind + "at most", truth <= ah.high() + slack);
      }
    }
  }

  private void count(String what, boolean isHeld) {
    int[] n = strata.computeIfAbsent(what, w -> new int[2]);
    n[0] += isHeld ? 1 : 0;
    n[1]++;
  }
}
