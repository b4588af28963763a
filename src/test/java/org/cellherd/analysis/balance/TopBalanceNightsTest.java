package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.BalanceView.State;
import org.cellherd.analysis.Interval;
import org.cellherd.sim.Scenario;
import org.junit.jupiter.api.Test;

/**
 * First nights of an invented pack, over seeds, against what is really so in the simulated cells.
 * The simulator's open-circuit curve is another one than the analyses use.
 */
class TopBalanceNightsTest {
  private static final String NIGHT =
      """
      title = "night"
      family = "first-night"
      seed = 1
      start = 2026-01-10T17:00:00Z
      hours = 20

      [[pack]]
      id = "crate"
      chemistry = "lfp"
      series = 4
      parallel = 6
      rated_ah = 27
      decoder = "meadow"

      [pack.cells]
      soc_pct = 90
      capacity_pct = 84
      capacity_spread_pct = 1.5
      resistance_mohm = 2.2
      resistance_spread_pct = 6
      ahead_spread_ah = 0.06

      [[pack.cell]]
      number = 3
      ahead_ah = [0.35, 0.9]

      [pack.board]
      cell_noise_mv = 0.5
      cell_offset_mv = 1.0
      zero_below_ma = 300

      [pack.board.bleed]
      ma = 130
      from_mv = 3400
      delta_mv = 5
      %s

      [pack.board.trip]
      high_mv = 3700
      high_release_mv = 3550
      low_mv = 2500

      [charger]
      amperes = 1.6
      hold_mv = 14000

      [ambient]
      mean_c = 17
      daily_c = 1
      """;

  /** What one night gave. */
  private record Outcome(double balancedH, List<Look> looks) {}

  /** What was said at one time. */
  private record Look(double hours, double trueLead, Interval lead, Interval eta) {}

  private static Outcome night(Scenario scenario) {
    SimulatedNight night = new SimulatedNight(scenario);
    night.stepMs = 1000;
    List<Look> looks = new ArrayList<>();
    double[] balanced = {Double.NaN};
    night.run(
        600_000,
        n -> {
          if (n.view().state() == State.BALANCED) {
            balanced[0] = n.hours();
            n.isDone = true;
          } else if (n.view().state() == State.CONVERGING) {
            look(n, looks);
          }
        });
    return new Outcome(balanced[0], looks);
  }

  private static void look(SimulatedNight n, List<Look> looks) {
    Lead most = null;
    for (Lead lead : n.view().leads()) {
      most = most == null || lead.ah().mid() > most.ah().mid() ? lead : most;
    }
    if (most != null && n.view().etaHours().isPresent()) {
      double truth = n.rig.truth().leadAh(most.cell());
      looks.add(new Look(n.hours(), truth, most.ah(), n.view().etaHours().get()));
    }
  }

  private static List<Outcome> nights(String bleed, int first, int seeds) {
    Scenario scenario = SimulatedNight.read(NIGHT.formatted(bleed));
    List<Outcome> all = new ArrayList<>();
    for (int seed = first; seed < first + seeds; seed++) {
      all.add(night(scenario.withSeed(seed)));
    }
    return all;
  }

  @Test
  void forecastHoldsTheTruthWhereTheBoardTellsItsBleeding() {
    check(nights("", 1, 20));
  }

  @Test
  void forecastHoldsTheTruthWhereOddAndEvenCellsTakeTurnsUntold() {
    check(nights("alternate_s = 10\n      flag = false", 101, 6));
  }

  private static void check(List<Outcome> nights) {
    int said = 0;
    int held = 0;
    int leadsNear = 0;
    int leadsHeld = 0;
    int leads = 0;
    int narrow = 0;
    int halves = 0;
    for (Outcome night : nights) {
      assertThat(night.balancedH).as("balanced at some time").isFinite();
      double half = Double.NaN;
      for (Look look : night.looks) {
        half = Double.isNaN(half) ? (look.hours + night.balancedH) / 2 : half;
        said++;
        held += look.eta.holds(night.balancedH - look.hours) ? 1 : 0;
        if (look.lead.high() < 3) {
          leads++;
          double off = Math.abs(look.lead.mid() - look.trueLead);
          leadsNear += off <= Math.max(0.1, 0.05 * look.trueLead) ? 1 : 0;
          leadsHeld += look.lead.holds(look.trueLead) ? 1 : 0;
        }
      }
      for (Look look : night.looks) {
        if (Math.abs(look.hours - half) < 0.09) {
          halves++;
          narrow += look.eta.high() <= 2 * look.eta.low() ? 1 : 0;
        }
      }
    }
    System.out.printf(
        "%d looks: forecast held %.0f %%, lead near %.0f %%, lead held %.0f %%, narrow %d of %d%n",
        said,
        100.0 * held / said,
        100.0 * leadsNear / leads,
        100.0 * leadsHeld / leads,
        narrow,
        halves);
    assertThat(held / (double) said).isGreaterThanOrEqualTo(0.9);
    assertThat(leadsNear / (double) leads).isGreaterThanOrEqualTo(0.9);
    assertThat(leadsHeld / (double) leads).isGreaterThanOrEqualTo(0.8);
    assertThat(narrow / (double) halves).isGreaterThanOrEqualTo(0.8);
  }
}
