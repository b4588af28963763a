package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.ZoneOffset;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.BalanceView.Apart;
import org.cellherd.analysis.BalanceView.Levelled;
import org.cellherd.analysis.BalanceView.State;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.SpokenTime;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.TestScenarios;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What a night's charge says afterwards, against what is really so in the simulated cells. */
class LevellingTest {

  /** When the watch first said balanced, h; the lead of the cell named, before it was bled, Ah. */
  private double balancedH = Double.NaN;

  private final double[] mostAh = new double[5];

  @ParameterizedTest
  @ValueSource(longs = {1, 7, 21, 33})
  void theChargeTellsWhoLedByHowMuchAndWhenItWasBalanced(long seed) {
    Scenario scenario = night().withSeed(seed);
    SimulatedRun night = new SimulatedRun(scenario, false).run(60_000, this::look);

    Levelled levelled = night.analysis().balance().levelled();
    Apart apart = levelled.apart().orElseThrow();
    long atMs = levelled.balancedAtMs().orElseThrow();
    Finding charge = night.completed(FindingName.FULL_CHARGE).get(0);

    assertThat(apart.cell()).isEqualTo(3);
    assertThat(apart.ah().low()).isLessThanOrEqualTo(mostAh[3]);
    assertThat(apart.ah().high()).isGreaterThanOrEqualTo(mostAh[3]);
    assertThat((atMs - scenario.startMs()) / 3_600_000.0).isCloseTo(balancedH, within(0.02));
    assertThat(charge.sentence())
        .contains("; cell 3 was ", " Ah ahead (")
        .endsWith(", balanced at " + SpokenTime.minute(atMs, ZoneOffset.UTC) + ".");
    assertThat(night.standing(FindingName.BALANCE).orElseThrow().sentence())
        .startsWith("Not at the top; at the last top, 11 Jan 2026 ")
        .contains("the pack was balanced. Cell 3 was ");
  }

  /** With a load in the morning, which ends the charge. */
  private static Scenario night() {
    String text =
        Scenarios.text("first-night").orElseThrow().replace("hours = 12", "hours = 16")
            + "\n[[load]]\namperes = 4\nfrom_h = 6\nto_h = 12\n";
    return TestScenarios.read(text);
  }

  private void look(SimulatedRun run) {
    BalanceView view = run.analysis().balance();
    if (view.state() == State.BALANCED && Double.isNaN(balancedH)) {
      balancedH = run.hours();
    }
    for (int cell = 1; cell <= 4; cell++) {
      mostAh[cell] = Math.max(mostAh[cell], run.truth().leadAh(cell));
    }
  }
}
