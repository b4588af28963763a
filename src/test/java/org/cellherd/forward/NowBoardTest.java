package org.cellherd.forward;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;
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

  /** A pack of a healthy site costs a message a minute, not one each time a number moves. */
  @Test
  void numbersAloneGoOnceAMinuteAndWithAnAlertAtOnce() {
    int sent = 0;
    long second = 1_000_000_000L;
    for (int i = 0; i < 600; i += 10) {
      board.summary("crate", summary(i));
      for (; board.next(i * second).isPresent(); sent++) {
        // Until nothing is due.
      }
    }
    assertThat(sent).isEqualTo(10);

    board.summary("crate", summary(4_711));
    assertThat(board.next(599 * second)).isEmpty();
    board.alert(alert(AlertState.ACTIVE), true);
    assertThat(board.next(599 * second).orElseThrow().json()).contains("\"rule\":", "after 4711");
  }

  private static PackSummary summary(int number) {
    return new PackSummary(
        number * 1_000L,
        "It rests, after " + number,
        Optional.empty(),
        0,
        OptionalDouble.empty(),
        Optional.empty(),
        Optional.empty(),
        OptionalDouble.empty(),
        Optional.empty());
  }

  private int alertsSent() {
    String json = board.next(0).orElseThrow().json();
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
