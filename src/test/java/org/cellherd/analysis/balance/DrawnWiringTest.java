package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ApartCause;
import org.cellherd.analysis.result.BalanceResult;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.TestScenarios;
import org.junit.jupiter.api.Test;

/**
 * Solar days of iron-phosphate packs that are drawn at random, with a sense wire that is off, a bad
 * strap, or neither: a wire or a resistance that is named must be there, and those that stand out
 * must be named.
 */
class DrawnWiringTest {
  private static final int PACKS = 18;
  private static final long SEED = 20_261_129;
  private static final long DAY_MS = 86_400_000;

  @SuppressWarnings("InlineFormatString")
  private static final String PACK =
      """
      title = "drawn days"
      seed = %d
      start = 2026-06-10T00:00:00Z
      hours = 120
      step_s = 10
      poll_s = 60

      [[pack]]
      id = "shed"
      chemistry = "lfp"
      series = %d
      parallel = 1
      rated_ah = %.0f
      decoder = "sorrel-16"

      [pack.cells]
      soc_pct = %.0f
      capacity_spread_pct = %.1f
      resistance_spread_pct = 8
      ahead_spread_ah = %.2f
      hysteresis_mv = %.0f

      [pack.board]
      cell_step_mv = %d
      cell_noise_mv = %.1f
      cell_offset_mv = 1
      zero_below_ma = %d
      current_offset_ma = %.0f

      [pack.board.bleed]
      ma = %.0f
      from_mv = 3420

      [pack.board.trip]
      high_mv = 3650
      low_mv = 2600

      [charger]
      amperes = %.1f
      hold_mv = %d
      tail_a = %.2f

      [sun]
      peak_w = %.0f
      cloudiness = %.1f

      [[load]]
      name = "house"
      watts = %.0f

      [[load]]
      name = "pump"
      watts = %.0f
      period_s = 5400
      on_s = 900
      jitter = 0.2

      %s
      """;

  private final Random random = new Random(SEED);
  private final Map<String, int[]> told = new TreeMap<>();
  private String what = "none";
  private int place;

  private double between(double low, double high) {
    return low + (high - low) * random.nextDouble();
  }

  @Test
  void namesOnlyWiresAndStrapsThatAreBad() {
    for (int i = 0; i < PACKS; i++) {
      judge(i);
    }
    told.forEach((what, n) -> System.out.println(what + ": right, wrong, untold " + table(n)));

    assertThat(told.values()).as("wrong").allSatisfy(n -> assertThat(n[1]).isZero());
    assertThat(right("wire")).as("wires told").isGreaterThanOrEqualTo(14);
    assertThat(right("strap")).as("straps told").isGreaterThanOrEqualTo(15);
  }

  /** Cells of the same charge and capacity: what sets them apart is the wire or the strap. */
  @Test
  void takesNoWireOrStrapForACellsChargeOrCapacity() {
    int[] even = told.computeIfAbsent("even", w -> new int[3]);
    for (int i = 1; i < PACKS; i += i % 3 == 1 ? 1 : 2) {
      Scenario scenario = drawn(i, 0);
      new SimulatedRun(scenario, false).run(DAY_MS / 4, run -> countCharge(run, even));
    }
    System.out.println("of even cells: right, wrong, untold " + table(even));

    assertThat(even[1]).as("wrong").isZero();
  }

  /** Cells that may all be level, by the leads that are told, need no hours to become so. */
  @Test
  void countsNoHoursDownFromLeadsThatMayBeNone() {
    int[] level = {0};
    for (int i = 1; i < PACKS; i += i % 3 == 1 ? 1 : 2) {
      new SimulatedRun(drawn(i, 0), false)
          .run(
              DAY_MS / 96,
              run -> {
                BalanceView now = run.analysis().balance();
                boolean mayBeLevel = now.leads().stream().allMatch(l -> l.ah().low() <= 0);
                if (mayBeLevel && now.etaHours().isPresent()) {
                  level[0]++;
                  assertThat(now.etaHours().get().low()).as("%s", now).isLessThanOrEqualTo(1);
                }
              });
    }
    assertThat(level[0]).as("times with hours and no lead").isPositive();
  }

  private static void countCharge(SimulatedRun run, int[] even) {
    BalanceResult said = (BalanceResult) run.standing(FindingName.BALANCE).orElseThrow().result();
    boolean isCell =
        said.cause() == ApartCause.CHARGE_DIFFERENCE || said.cause() == ApartCause.LOW_CAPACITY;
    even[isCell ? 1 : 2]++;
    if (isCell) {
      System.out.println("even cells, said: " + said.causeText());
    }
  }

  private int right(String what) {
    return told.getOrDefault(what, new int[3])[0];
  }

  private static String table(int[] n) {
    return n[0] + ", " + n[1] + ", " + n[2];
  }

  private void judge(int number) {
    Scenario scenario = drawn(number, 1);
    // The strap behind a cell is read with the next one; the wire at the negative end moves one.
    int cell = what.equals("strap") ? place + 1 : Math.max(1, place);
    new SimulatedRun(scenario, false).run(DAY_MS, run -> count(run, cell));
  }

  /** A pack whose cells are apart in charge and capacity by so many times what is usual. */
  private Scenario drawn(int number, int apart) {
    int series = 5 + random.nextInt(10);
    double rated = Math.exp(between(Math.log(25), Math.log(280)));
    what = new String[] {"none", "wire", "strap"}[number % 3];
    place = what.equals("wire") ? random.nextInt(series) : 1 + random.nextInt(series - 1);
    return TestScenarios.read(text(number, series, rated, apart));
  }

  private void count(SimulatedRun run, int place) {
    BalanceResult said = (BalanceResult) run.standing(FindingName.BALANCE).orElseThrow().result();
    int[] n = told.computeIfAbsent(what, w -> new int[3]);
    boolean isTold = said.cause() == ApartCause.WIRING || said.cause() == ApartCause.RESISTANCE;
    ApartCause right = what.equals("wire") ? ApartCause.WIRING : ApartCause.RESISTANCE;
    boolean isRight =
        said.cause() == right
            && !what.equals("none")
            && said.causeText().matches("Cells? " + place + " .*");
    n[!isTold ? 2 : isRight ? 0 : 1]++;
    if (isTold && !isRight) {
      System.out.println(what + " " + place + ", said: " + said.causeText());
    }
  }

  private String text(int number, int series, double rated, int apart) {
    double amperes = rated * between(0.1, 0.25);
    double watts = rated * series * 3.2;
    String fault =
        switch (what) {
          case "wire" ->
              String.format(
                  Locale.ROOT,
                  "[[fault]]\nkind = \"loose-tap\"\ntap = %d\nmv = %.1f\nwander_mv = 0\nohm = 0",
                  place,
                  between(apart == 0 ? 20 : 6, 25) * (random.nextBoolean() ? 1 : -1));
          case "strap" ->
              String.format(
                  Locale.ROOT,
                  "[[fault]]\nkind = \"bad-strap\"\ncell = %d\nmohm = %.2f",
                  place,
                  100 / rated * between(0.1, 2));
          default -> "";
        };
    return String.format(
        Locale.ROOT,
        PACK,
        number + 1,
        series,
        rated,
        between(50, 90),
        apart * between(0, 4),
        apart * rated * between(0.001, 0.04),
        between(0, 8),
        apart > 0 && random.nextInt(4) == 0 ? 5 : 1,
        between(0.2, 2),
        new int[] {0, 100, 500}[random.nextInt(3)],
        between(-100, 100),
        between(40, 120),
        amperes,
        series * 3500,
        0.03 * rated,
        watts * between(0.2, 0.4),
        between(0, 0.8),
        watts * between(0.008, 0.02),
        watts * between(0.02, 0.08),
        fault);
  }
}
