package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatCode;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.alert.rule.Restarted;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.junit.jupiter.api.Test;

class AlertEngineTest {
  private static final long START_MS = 1_767_225_600_000L;

  private final PackPlan plan =
      PackPlan.builder("crate", Chemistry.LFP, 4, 1, 100_000).chargeMv(14_200).build();
  private AlertSettings settings = Rules.defaults(plan);
  private AlertEngine engine = new AlertEngine(plan, settings);
  private final FixedView view = new FixedView(plan);
  private final List<AlertEvent> told = new ArrayList<>();
  private long nowMs = START_MS;

  private void entry(LogEntry entry) {
    view.take(entry);
    told.addAll(engine.onEntry(entry, view));
  }

  private void feed(int seconds, int cellTwoMv) {
    for (int i = 0; i < seconds; i++) {
      entry(
          Reading.at(nowMs)
              .cells(CellVoltages.ofMv(3300, cellTwoMv, 3300, 3300))
              .currentMa(-5000)
              .build());
      nowMs += 1000;
    }
  }

  private byte[] saved() {
    SavedState out = SavedState.of(engine::state);
    return out.bytes();
  }

  @Test
  void idsNamePackRuleCellRunAndCount() {
    entry(new SessionStart(nowMs, 12, true, true));
    feed(10, 3700);

    AlertEvent raised = told.get(0);

    assertThat(raised.alert().id()).isEqualTo("crate.cell-high.2.12-1");
    assertThat(raised.id()).isEqualTo("crate.cell-high.2.12-1:raised-12.1");
  }

  @Test
  void whatIsOverAsksForNoStep() {
    feed(20, 3700);
    feed(200, 3300);

    assertThat(told).extracting(AlertEvent::change).contains(Change.RAISED, Change.RETURNED);
    assertThat(told)
        .allSatisfy(
            e ->
                assertThat(e.alert().firstStep().isEmpty())
                    .isEqualTo(e.change() == Change.RETURNED));
  }

  @Test
  void theJsonHasEveryPromisedKey() {
    feed(10, 3700);

    assertThat(told.get(0).alert().facts().list())
        .extracting(f -> f.name())
        .containsExactly(
            "id",
            "rule",
            "pack",
            "cell",
            "state",
            "priority",
            "since",
            "time",
            "value",
            "limit",
            "unit",
            "text",
            "first_step",
            "evidence",
            "acknowledged_by",
            "clock");
  }

  @Test
  void anUnknownIdIsIgnored() {
    feed(10, 3700);

    assertThat(engine.acknowledge("crate.cell-high.2.99-9", "ann", nowMs)).isEmpty();
    assertThat(engine.standing()).singleElement().matches(a -> a.acknowledgedBy().isEmpty());
  }

  @Test
  void aNameIsKeptShortAndPlain() {
    feed(10, 3700);
    String hostile = "ann\n\u0000" + "x".repeat(200);

    AlertEvent seen = engine.acknowledge(told.get(0).alert().id(), hostile, nowMs).get(0);

    assertThat(seen.alert().acknowledgedBy().orElseThrow()).hasSize(80).startsWith("ann  xxx");
  }

  @Test
  void aSecondAcknowledgementChangesNothing() {
    feed(10, 3700);
    String id = told.get(0).alert().id();

    assertThat(engine.acknowledge(id, "ann", nowMs)).hasSize(1);
    assertThat(engine.acknowledge(id, "bob", nowMs)).isEmpty();
  }

  @Test
  void testsAreMarkedAndNumbered() {
    entry(new SessionStart(nowMs, 3, true, true));

    AlertEvent first = engine.testEvent("ann", nowMs);
    AlertEvent second = engine.testEvent("ann", nowMs);

    assertThat(first.change()).isEqualTo(Change.NOTICE);
    assertThat(first.stands()).isFalse();
    assertThat(first.alert().text()).startsWith("This is a test, asked for by ann.");
    assertThat(second.id()).isNotEqualTo(first.id());
  }

  @Test
  void anUncleanStopIsToldWithItsGapAndWhatStands() {
    entry(new SessionStart(nowMs, 1, true, true));
    feed(10, 3700);
    List<Alert> standing = engine.standing();
    told.clear();
    engine = new AlertEngine(plan, settings);
    engine.adopt(standing, nowMs - 1000);

    nowMs += 3_600_000;
    entry(new SessionStart(nowMs, 2, true, false));

    AlertEvent notice = told.get(0);
    assertThat(notice.alert().key().rule()).isEqualTo(Restarted.ID);
    assertThat(notice.alert().text())
        .contains("Nothing was watched for 60 min from 00:00.")
        .contains("Active: cell-high/cell-2.");
    assertThat(notice.alert().evidence().number("gap_s")).hasValue(3601);
  }

  @Test
  void anUnsureClockIsSaid() {
    entry(new SessionStart(nowMs, 1, false, true));
    feed(10, 3700);

    assertThat(told.get(0).alert().facts().text("clock")).hasValue("unsure");
  }

  @Test
  void anAlertWhoseRuleWasSwitchedOffEnds() {
    feed(10, 3700);
    List<Alert> standing = engine.standing();
    settings = settings.with(settings.rule(CellHigh.ID).withEnabled(false));
    engine = new AlertEngine(plan, settings);

    List<AlertEvent> changes = engine.adopt(standing, nowMs);

    assertThat(changes).singleElement().matches(e -> e.change() == Change.CLEARED);
    assertThat(engine.standing()).isEmpty();
  }

  @Test
  void alertsOfOtherPacksAreLeftAlone() {
    feed(10, 3700);
    Alert ours = engine.standing().get(0);
    AlertEngine other =
        new AlertEngine(PackPlan.of("shed", Chemistry.LFP, 4, 1, 100_000), settings);

    assertThat(other.adopt(List.of(ours), nowMs)).isEmpty();
    assertThat(other.standing()).isEmpty();
  }

  @Test
  void theWorstStandsFirst() {
    settings = settings.with(settings.rule(CellHigh.ID).with("limit_mv", 3900)).withDailyQuota(50);
    engine = new AlertEngine(plan, settings);
    feed(10, 3700);
    engine.board(false, "a", "b", nowMs);

    assertThat(engine.standing()).extracting(Alert::priority).startsWith(Priority.CRITICAL);
  }

  /** Fifty warnings a day are too many; the critical one in between comes at once. */
  @Test
  void theQuotaHoldsBackWarningsButNothingCritical() {
    settings =
        settings
            .with(settings.rule(CellHigh.ID).with("limit_mv", 3800))
            .with(settings.rule(CellLow.ID).withEnabled(false))
            .withDailyQuota(1);
    engine = new AlertEngine(plan, settings);
    feed(10, 3700);
    feed(70, 3300);
    told.clear();

    feed(10, 3700);
    assertThat(told).isEmpty();
    assertThat(engine.standing()).isEmpty();

    feed(10, 3850);
    assertThat(told).singleElement().matches(e -> e.alert().priority() == Priority.CRITICAL);
  }

  @Test
  void timeWithoutEntriesBringsRepeats() {
    feed(10, 3700);

    assertThat(engine.onTick(nowMs + 240_000)).isEmpty();
    assertThat(engine.onTick(nowMs + 300_000))
        .singleElement()
        .matches(e -> e.change() == Change.REPEATED);
  }

  @Test
  void aStateOfAnotherPlanIsRefused() {
    byte[] state = saved();
    PackPlan other = PackPlan.of("crate", Chemistry.LFP, 8, 1, 100_000);
    AlertEngine eight = new AlertEngine(other, Rules.defaults(other));

    assertThatThrownBy(() -> SavedState.ofBytes(state).into(eight::state))
        .isInstanceOf(StateMismatch.class);
  }

  @Test
  void aDamagedStateIsRefusedOrTakenAndNothingElse() {
    feed(300, 3700);
    byte[] state = saved();
    Random random = new Random(1);
    int refusals = 0;

    for (int i = 0; i < 2000; i++) {
      byte[] damaged = state.clone();
      damaged[random.nextInt(damaged.length)] ^= (byte) (1 << random.nextInt(8));
      AlertEngine fresh = new AlertEngine(plan, settings);
      try {
        SavedState.ofBytes(damaged).into(fresh::state);
      } catch (StateMismatch refused) {
        refusals++;
      }
    }
    assertThat(refusals).isPositive();
    assertThatCode(() -> SavedState.ofBytes(state).into(new AlertEngine(plan, settings)::state))
        .doesNotThrowAnyException();
  }
}
