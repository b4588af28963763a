package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ApartCause;
import org.cellherd.analysis.result.BalanceResult;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.TestScenarios;
import org.junit.jupiter.api.Test;

/**
 * First nights that are drawn at random, half an hour of rest and one charge each, with a sense
 * wire that is off, a bad joint, or neither: what is named as the cause must be there.
 */
class FirstNightCauseTest {
  private static final int NIGHTS = 160;
  private static final long SEED = 20_261_201;
  private static final long HOUR_MS = 3_600_000;
  private static final Pattern CELL = Pattern.compile("Cells? (\\d+) ");

  @SuppressWarnings("InlineFormatString")
  private static final String NIGHT =
      """
      title = "drawn first night"
      seed = %d
      start = 2026-10-03T18:00:00Z
      hours = 14
      step_s = 5
      poll_s = %d

      [[pack]]
      id = "bench"
      chemistry = "%s"
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
      from_mv = %d

      [pack.board.trip]
      high_mv = %d
      low_mv = %d

      [charger]
      amperes = %.1f
      hold_mv = %d
      tail_a = 0
      from_h = 18.5
      to_h = 18

      %s
      """;

  private final Random random = new Random(SEED);
  private final Map<String, int[]> told = new TreeMap<>();

  private double between(double low, double high) {
    return low + (high - low) * random.nextDouble();
  }

  @Test
  void namesOnlyWhatIsThere() {
    for (int i = 0; i < NIGHTS; i++) {
      judge(i);
    }
    told.forEach((what, n) -> System.out.println(what + ": right, wrong " + Arrays.toString(n)));

    int wrong = told.values().stream().mapToInt(n -> n[1]).sum();
    assertThat(wrong).as("wrong").isZero();
    assertThat(right("flat joint RESISTANCE")).as("joints named").isGreaterThanOrEqualTo(50);
    assertThat(right("flat none CHARGE_DIFFERENCE")).as("leaders").isGreaterThanOrEqualTo(20);
  }

  /** Of most joints half an hour of charge is enough; of what is none there is no alert. */
  @Test
  void anAlertTellsOfABadJointWhileTheFirstChargeGoesOn() {
    int raised = 0;
    for (int i = 0; i < 36; i++) {
      Drawn night = draw(i);
      SimulatedRun run = new SimulatedRun(night.scenario(), true).run();
      List<Integer> cells =
          run.events().stream()
              .filter(e -> e.alert().key().rule().word().equals("resistance"))
              .map(e -> e.alert().key().cell())
              .distinct()
              .toList();
      raised += cells.size();
      assertThat(cells)
          .as("%s at %d", night.what(), night.place())
          .isSubsetOf(night.what().equals("joint") ? List.of(night.place() + 1) : List.of());
    }
    assertThat(raised).as("joints of 12").isGreaterThanOrEqualTo(6);
  }

  private int right(String what) {
    return told.getOrDefault(what, new int[2])[0];
  }

  private record Drawn(Scenario scenario, String what, int place, double rated) {}

  private Drawn draw(int number) {
    int series = 4 + random.nextInt(13);
    double rated = Math.exp(between(Math.log(25), Math.log(280)));
    String what = new String[] {"none", "wire", "joint"}[number % 3];
    int place = what.equals("wire") ? random.nextInt(series) : 1 + random.nextInt(series - 1);
    String text = text(number, series, rated, what, place);
    return new Drawn(TestScenarios.read(text), what, place, rated);
  }

  private void judge(int number) {
    Drawn night = draw(number);
    new SimulatedRun(night.scenario(), false)
        .run(HOUR_MS, run -> count(run, night.what(), night.place(), night.rated()));
  }

  private void count(SimulatedRun run, String what, int place, double rated) {
    BalanceResult said = (BalanceResult) run.standing(FindingName.BALANCE).orElseThrow().result();
    Matcher cell = CELL.matcher(said.causeText());
    if (said.cause() == ApartCause.UNKNOWN || !cell.find()) {
      return;
    }
    int named = Integer.parseInt(cell.group(1));
    boolean isRight =
        switch (said.cause()) {
          case RESISTANCE -> what.equals("joint") && named == place + 1;
          case WIRING -> what.equals("wire") && (named == place || named == Math.max(1, place));
          case CHARGE_DIFFERENCE ->
              isOutermost(run, named - 1, said.causeText().contains("less"), rated);
          default -> false;
        };
    told.computeIfAbsent(
            (isFlat(run) ? "flat " : "sloped ") + what + " " + said.cause(), w -> new int[2])[
        isRight ? 0 : 1]++;
    if (!isRight) {
      System.out.println(what + " " + place + ", said: " + said.causeText());
    }
  }

  private static boolean isFlat(SimulatedRun run) {
    return run.plan().chemistry().plateau().isFlat();
  }

  /** The first or the last cell by its true charge, or as good as that. */
  private static boolean isOutermost(SimulatedRun run, int cell, boolean isLast, double rated) {
    double[] leads = new double[run.plan().series()];
    Arrays.setAll(leads, i -> run.truth().leadAh(i + 1));
    double most = Arrays.stream(leads).max().orElseThrow();
    double near = 0.1 * most + 0.001 * rated;
    return isLast ? leads[cell] <= near : leads[cell] >= most - near;
  }

  private String text(int number, int series, double rated, String what, int place) {
    String fault =
        switch (what) {
          case "wire" ->
              String.format(
                  Locale.ROOT,
                  "[[fault]]\nkind = \"loose-tap\"\ntap = %d\nmv = %.1f\nwander_mv = 0\nohm = 0",
                  place,
                  between(6, 25) * (random.nextBoolean() ? 1 : -1));
          case "joint" ->
              String.format(
                  Locale.ROOT,
                  "[[fault]]\nkind = \"bad-strap\"\ncell = %d\nmohm = %.2f",
                  place,
                  100 / rated * between(0.3, 4));
          default -> "";
        };
    boolean isFlat = number % 2 == 0;
    return String.format(
        Locale.ROOT,
        NIGHT,
        number + 1,
        new int[] {5, 10, 30}[random.nextInt(3)],
        isFlat ? "lfp" : "nmc",
        series,
        rated,
        number % 4 == 3 ? between(4, 16) : between(70, 92),
        between(0, 4),
        rated * between(0.001, number % 4 == 3 ? 0.05 : 0.02),
        between(0, 8),
        random.nextInt(4) == 0 ? 5 : 1,
        between(0.2, 2),
        new int[] {0, 100, 500}[random.nextInt(3)],
        between(-100, 100),
        between(40, 120),
        isFlat ? 3420 : 4050,
        isFlat ? 3750 : 4250,
        isFlat ? 2600 : 3000,
        rated * between(0.08, 0.4),
        series * (isFlat ? new int[] {3500, 3550, 3600}[random.nextInt(3)] : 4150),
        fault);
  }
}
