package org.cellherd.forward;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** A pack needs somebody at the centre for its active alerts, not for what is over. */
class NowBoardTest {

  private final NowBoard board =
      new NowBoard("log", Map.of(PackPlan.of("crate", Chemistry.LFP, 4, 1, 6_000), Facts.NONE));

  @ParameterizedTest
  @EnumSource(AlertState.class)
  void whatIsOverAndNotSeenYetIsNoAlertOfThePack(AlertState state) {
    board.alert(alert(AlertState.ACTIVE), true);
    assertThat(alertsSent()).isEqualTo(1);

    board.alert(alert(state), true);

    assertThat(alertsSent()).isEqualTo(state == AlertState.RETURNED ? 0 : 1);
  }

  private int alertsSent() {
    String json = board.next().orElseThrow().json();
    return json.split("\"rule\":", -1).length - 1;
  }

  private static Alert alert(AlertState state) {
    AlertKey key = new AlertKey("crate", CellHigh.ID, 2);
    return new Alert(
        "crate-1",
        key,
        state,
        Priority.CRITICAL,
        1_000,
        2_000,
        3_661,
        3_650,
        "mV",
        "Cell 2 is at 3.661 V.",
        "Lower the charge voltage.",
        Facts.NONE,
        Optional.empty(),
        true);
  }
}
