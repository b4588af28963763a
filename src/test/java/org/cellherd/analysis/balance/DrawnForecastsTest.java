package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Interval;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.TestScenarios;
import org.junit.jupiter.api.Test;

/**
 * Nights of packs that are drawn at random, held at the top by a charger: hours to go are held
 * against when the simulated cells came even. Some boards bleed and say so, some do not say, some
 * do not bleed: these are never even, and no end may be told.
 */
class DrawnForecastsTest {
  private static final int PACKS = 15;
  private static final long SEED = 20_261_131;
  private static final long HOUR_MS = 3_600_000;

  /** Readings are looked at once an hour. */
  private static final double SLACK_H = 1.25;

  /** By then slow lags (up to an hour and a half, from memory) have come three times. */
  private static final double SEEN_H = 5;

  /** The spread of 10 mV that a forecast counts to comes before leads of so much, or after. */
  private static final double[] EVEN_SHARES = {0.005, 0.001};

  @SuppressWarnings("InlineFormatString")
  private static final String PACK =
      """
      title = "drawn night"
      seed = %d
      start = 2026-01-10T17:00:00Z
      hours = 30
      step_s = 5
      poll_s = %d

      [[pack]]
      id = "crate"
      chemistry = "lfp"
      series = %d
      parallel = 1
      rated_ah = %.0f
      decoder = "sorrel-16"

      [pack.cells]
      soc_pct = 88
      capacity_spread_pct = 2
      resistance_spread_pct = 15
      ahead_spread_ah = %.2f

      [pack.board]
      cell_noise_mv = %.1f
      cell_offset_mv = 1
      current_offset_ma = %.0f
      zero_below_ma = %d
      %s
      [pack.board.trip]
      high_mv = 3650
      low_mv = 2000

      [charger]
      amperes = %.1f
      hold_mv = %d

      [ambient]
      mean_c = 15
      """;

  private final Random random = new Random(SEED);
  private final Map<String, int[]> strata = new TreeMap<>();

  private int told;

  private record Said(double hours, Interval eta) {}

  private double between(double low, double high) {
    return low + (high - low) * random.nextDouble();
  }

  @Test
  void hoursToGoHoldWhenTheCellsCameEven() {
    for (int i = 0; i < PACKS; i++) {
      judge(i, new String[] {"none", "told", "untold"}[i % 3]);
    }
    check();
  }

  /** A lead stands still then, whatever is taken from the leader; at first cells settle, too. */
  @Test
  void noEndIsToldOnceALeadWasSeenToStandBesideALeakAsFastAsTheBleeding() {
    for (int i = 0; i < PACKS; i++) {
      judge(i, "leaking");
    }
    check();
  }

  /** What falls then may be cells that relax: nobody told that anything is bled. */
  @Test
  void noEndIsToldWhileCellsRelaxAfterTheirCharge() {
    for (int i = 0; i < PACKS; i++) {
      judge(i, "stopped");
    }
    check();
    strata.forEach((bleed, n) -> assertThat(n[0]).as("of %d", n[1]).isEqualTo(n[1]));
  }

  /** An offset that the board prints for days is no charge that holds the cells up. */
  @Test
  void noEndIsToldWhileNothingButAnOffsetMayFlow() {
    for (int i = 0; i < PACKS; i++) {
      judge(i, "offset");
    }
    check();
    strata.forEach((bleed, n) -> assertThat(n[0]).as("of %d", n[1]).isEqualTo(n[1]));
  }

  /** Without a charge the leaders sink below the level from which they are bled. */
  @Test
  void anEndThatIsToldWhileCellsAreBledAtRestHolds() {
    for (int i = 0; i < PACKS; i++) {
      judge(i, "at rest");
    }
    check();
    assertThat(told).as("forecasts looked at").isGreaterThan(PACKS);
  }

  private void check() {
    strata.forEach((bleed, n) -> System.out.println(bleed + ": held, told " + n[0] + ", " + n[1]));

    strata.forEach(
        (bleed, n) ->
            assertThat(n[0]).as("%s of %d", bleed, n[1]).isGreaterThanOrEqualTo(n[1] * 88 / 100));
  }

  private void judge(int number, String bleed) {
    int series = 4 + random.nextInt(9);
    double rated = between(16, 100);
    double bledMa = between(40, 150);
    String text =
        String.format(
                Locale.ROOT,
                PACK,
                number + 1,
                random.nextBoolean() ? 5 : 15,
                series,
                rated,
                // Half an hour to twelve hours of bleeding.
                0.005 * rated + bledMa / 1000 * between(0.5, 12),
                between(0.2, 1.5),
                bleed.equals("offset") ? Math.min(200, rated * between(0.8, 2)) : 0,
                random.nextBoolean() || bleed.equals("offset") ? 0 : 200,
                !isBled(bleed)
                    ? ""
                    : String.format(
                        Locale.ROOT,
                        "[pack.board.bleed]\nma = %.0f\nfrom_mv = 3400\nflag = %s\n",
                        bledMa,
                        bleed.equals("told") || bleed.equals("at rest")),
                rated * between(0.08, 0.2),
                series * 3480)
            + (bleed.equals("leaking") ? leak(bledMa / rated) : "");
    if (List.of("stopped", "offset", "at rest").contains(bleed)) {
      text =
          text.replace(
              "[ambient]",
              String.format(
                  Locale.ROOT, "tail_a = %.1f\n\n[ambient]", rated * between(0.02, 0.05)));
    }
    Scenario scenario = TestScenarios.read(text);
    List<Said> said = new ArrayList<>();
    double[] evenAt = {Double.POSITIVE_INFINITY, Double.POSITIVE_INFINITY};
    new SimulatedRun(scenario, false).run(HOUR_MS, run -> look(run, rated, said, evenAt));
    told += said.size();
    said.forEach(s -> count(s, bleed, evenAt));
  }

  private static boolean isBled(String bleed) {
    return !List.of("none", "stopped", "offset").contains(bleed);
  }

  private static String leak(double maPerAh) {
    return String.format(
        Locale.ROOT, "[[fault]]\nkind = \"leak\"\ncell = \"any\"\nma_per_ah = %.3f\n", maPerAh);
  }

  private static void look(SimulatedRun run, double rated, List<Said> said, double[] evenAt) {
    double most = 0;
    for (int cell = 1; cell <= run.plan().series(); cell++) {
      most = Math.max(most, run.truth().leadAh(cell));
    }
    for (int i = 0; i < evenAt.length; i++) {
      boolean isEven = most <= EVEN_SHARES[i] * rated;
      evenAt[i] = isEven ? Math.min(evenAt[i], run.hours()) : evenAt[i];
    }
    BalanceView view = run.analysis().balance();
    if (view.state() != BalanceView.State.BALANCED && evenAt[0] > run.hours()) {
      view.etaHours().ifPresent(eta -> said.add(new Said(run.hours(), eta)));
    }
  }

  private void count(Said said, String bleed, double[] evenAt) {
    boolean hasEnd = said.eta().high() - said.eta().low() < 500;
    boolean isUnseen = bleed.equals("leaking") && said.hours() < SEEN_H;
    if (isUnseen || (isBled(bleed) && !hasEnd)) {
      return;
    }
    boolean isInTime =
        said.hours() + said.eta().low() <= evenAt[1] + SLACK_H
            && said.hours() + said.eta().high() + SLACK_H >= Math.min(30, evenAt[0]);
    int[] n = strata.computeIfAbsent(bleed, b -> new int[2]);
    n[0] += (isBled(bleed) ? isInTime : !hasEnd) ? 1 : 0;
    n[1]++;
  }
}
