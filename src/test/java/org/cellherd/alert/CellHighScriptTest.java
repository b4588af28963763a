package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

/**
 * A limit of 3.65 V, a deadband of 10 mV, 5 s on, 60 s off, one reading a second. Meaning of delays
 * and deadband as in OPC UA part 9; the numbers are our own example.
 */
class CellHighScriptTest {
  private final PackPlan plan =
      PackPlan.builder("crate", Chemistry.LFP, 4, 1, 100_000).chargeMv(14_200).build();
  private final AlertEngine engine = new AlertEngine(plan, only(Rules.defaults(plan)));
  private final FixedView view = new FixedView(plan);
  private final List<AlertEvent> events = new ArrayList<>();
  private long nowMs = 1_767_225_600_000L;

  /** The warning level out of the way: one limit only. */
  private static AlertSettings only(AlertSettings all) {
    return all.with(all.rule(CellHigh.ID).with("warn_mv", 3650));
  }

  private void feed(double mv, int seconds) {
    for (int i = 0; i < seconds; i++) {
      int tenth = (int) Math.round(mv * 10);
      Reading reading =
          Reading.at(nowMs)
              .cells(CellVoltages.ofTenthMv(33_000, 33_000, tenth, 33_000))
              .currentMa(0)
              .build();
      view.take(reading);
      events.addAll(engine.onEntry(reading, view));
      nowMs += 1000;
    }
  }

  private List<Change> changes() {
    return events.stream()
        .filter(e -> e.alert().key().rule().equals(CellHigh.ID))
        .map(AlertEvent::change)
        .toList();
  }

  @Test
  void fourSecondsAboveAreNoAlarm() {
    feed(3660, 4);
    feed(3640, 120);

    assertThat(changes()).isEmpty();
  }

  @Test
  void fiveSecondsAfterTheFirstSampleItIsActive() {
    feed(3660, 5);
    assertThat(changes()).isEmpty();

    feed(3660, 1);
    assertThat(changes()).containsExactly(Change.RAISED);
  }

  @Test
  void insideTheDeadbandItStaysForEver() {
    feed(3660, 6);
    feed(3645, 1000);

    assertThat(engine.standing()).singleElement().matches(a -> a.state() == AlertState.ACTIVE);
  }

  @Test
  void fiftyNineSecondsBelowAreNotEnough() {
    feed(3660, 6);
    feed(3639, 60);
    feed(3650, 1);

    assertThat(engine.standing()).singleElement().matches(a -> a.state() == AlertState.ACTIVE);
  }

  @Test
  void sixtySecondsBelowAreEnough() {
    feed(3660, 6);
    feed(3639, 61);

    assertThat(changes()).containsExactly(Change.RAISED, Change.RETURNED);
  }

  @Test
  void whatIsOverSaysHowThingsAreNowAndHowTheyWere() {
    feed(3660, 6);
    feed(3410, 61);

    assertThat(engine.standing())
        .singleElement()
        .satisfies(
            a -> {
              assertThat(a.text())
                  .matches(
                      "Over since \\S+, now 3.410 V. It began at \\S+ and lasted 6 s in all; at its worst at \\S+: "
                          + "cell 3 at 3.660 V, above 3.650 V\\.");
              assertThat(a.limit()).isEqualTo(3650);
              assertThat(a.value()).isEqualTo(3410);
            });
  }

  @Test
  void theWorstLevelIsWhatIsRemembered() {
    AlertEngine both = new AlertEngine(plan, Rules.defaults(plan));
    for (double mv : new double[] {3648, 3652, 3410}) {
      for (int second = 0; second < 120; second++) {
        int tenth = (int) Math.round(mv * 10);
        Reading reading =
            Reading.at(nowMs).cells(CellVoltages.ofTenthMv(33_000, 33_000, tenth, 33_000)).build();
        view.take(reading);
        events.addAll(both.onEntry(reading, view));
        nowMs += 1000;
      }
    }

    assertThat(events.get(events.size() - 1).alert().text())
        .contains("cell 3 at 3.652 V, above 3.650 V");
  }

  @Test
  void equalityWithTheLimitIsNoAlarm() {
    feed(3650, 1000);

    assertThat(changes()).isEmpty();
  }
}
