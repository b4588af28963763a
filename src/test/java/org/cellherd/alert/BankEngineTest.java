package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.engine.BankEngine;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

/** Two packs of 100 Ah on one bus; every number here is our own example. */
class BankEngineTest {
  private final PackPlan left = PackPlan.of("left", Chemistry.LFP, 4, 1, 100_000);
  private final PackPlan right = PackPlan.of("right", Chemistry.LFP, 4, 1, 100_000);
  private final AlertSettings settings = Rules.defaults(left);
  private BankEngine engine = engine();
  private final FixedView leftView = new FixedView(left);
  private final FixedView rightView = new FixedView(right);
  private final List<AlertEvent> told = new ArrayList<>();
  private long nowMs = 1_767_225_600_000L;

  private BankEngine engine() {
    return new BankEngine("bus", List.of(left, right), settings);
  }

  private void feed(int seconds, int leftMa, int rightMa, int rightMv, boolean rightClosed) {
    for (int i = 0; i < seconds; i++) {
      Reading a = Reading.at(nowMs).cells(cells(3300)).currentMa(leftMa).build();
      Reading b =
          Reading.at(nowMs)
              .cells(cells(rightMv))
              .currentMa(rightMa)
              .chargeSwitch(rightClosed)
              .dischargeSwitch(rightClosed)
              .build();
      leftView.take(a);
      told.addAll(engine.onEntry("left", a, leftView));
      rightView.take(b);
      told.addAll(engine.onEntry("right", b, rightView));
      nowMs += 1000;
    }
  }

  private static CellVoltages cells(int mv) {
    return CellVoltages.ofMv(mv, mv, mv, mv);
  }

  @Test
  void equalSharesSayNothing() {
    feed(1000, -20_000, -18_000, 3300, true);

    assertThat(told).isEmpty();
    assertThat(engine.shares().totalA()).hasValue(-38);
    assertThat(engine.shares().sharePct().get("left"))
        .isCloseTo(52.6, org.assertj.core.data.Offset.offset(0.1));
  }

  @Test
  void whatTheBankCarriesAndEachPacksShareAreKnown() {
    feed(10, -20_000, -18_000, 3300, true);

    Facts right = engine.facts("right").orElseThrow();
    assertThat(right.text("bank")).hasValue("bus");
    assertThat(right.number("current_a")).hasValue(-38);
    assertThat(right.number("share_pct")).hasValue(47);
    assertThat(right.number("fair_share_pct")).hasValue(50);
    assertThat(engine.facts("elsewhere")).isEmpty();
  }

  @Test
  void withoutCurrentNoShareIsTold() {
    feed(10, 0, 0, 3300, true);

    assertThat(engine.facts("left").orElseThrow().number("share_pct")).isEmpty();
  }

  @Test
  void anUnequalShareIsToldAfterItsDelay() {
    feed(299, -38_000, -2_000, 3300, true);
    assertThat(told).isEmpty();

    feed(10, -38_000, -2_000, 3300, true);
    assertThat(told).hasSize(2).allMatch(e -> e.change() == Change.RAISED);
    assertThat(told.get(1).alert().text())
        .startsWith("Pack right carries 5 % of the bank's current, its fair share is 50 %");
  }

  @Test
  void anOpenPackFarFromTheBusIsNotToBeReconnected() {
    feed(310, -20_000, 0, 3400, false);

    Alert alert =
        told.stream()
            .map(AlertEvent::alert)
            .filter(a -> a.key().pack().equals("right"))
            .findFirst()
            .orElseThrow();
    assertThat(alert.firstStep()).isEqualTo("Do not reconnect: bus differs by 0.40 V.");
  }

  @Test
  void anOpenPackIsSeenWithoutCurrentByItsSwitches() {
    feed(310, 0, 0, 3310, false);

    assertThat(told).singleElement().matches(e -> e.alert().key().pack().equals("right"));
    assertThat(told.get(0).alert().firstStep()).contains("the bus differs by 0.04 V");
  }

  @Test
  void withoutOnePackNothingIsJudged() {
    feed(200, -38_000, -2_000, 3300, true);
    for (int i = 0; i < 1000; i++) {
      Reading a = Reading.at(nowMs).cells(cells(3300)).currentMa(-38_000).build();
      leftView.take(a);
      told.addAll(engine.onEntry("left", a, leftView));
      nowMs += 1000;
    }

    assertThat(told).isEmpty();
  }

  @Test
  void aRestartKeepsWhatWasTold() {
    feed(310, -20_000, 0, 3400, false);
    List<Alert> standing = engine.standing();
    told.clear();

    engine = engine();
    engine.adopt(standing);
    feed(600, -20_000, 0, 3400, false);

    assertThat(told).isEmpty();
    assertThat(engine.standing()).hasSameSizeAs(standing);
  }

  @Test
  void anAlertIsSeenByItsIdAloneAndThenToldNoMore() {
    feed(310, -20_000, 0, 3400, false);
    String id = told.get(0).alert().id();

    assertThat(engine.acknowledge("bus.bank-share.9-9", "ann", nowMs)).isEmpty();
    assertThat(engine.acknowledge(id, "ann", nowMs))
        .singleElement()
        .matches(e -> e.change() == Change.ACKNOWLEDGED);
    assertThat(engine.standing())
        .filteredOn(a -> a.id().equals(id))
        .singleElement()
        .matches(a -> a.acknowledgedBy().orElse("").equals("ann"));
    assertThat(engine.onTick(nowMs + 3 * 86_400_000L)).noneMatch(e -> e.alert().id().equals(id));
  }

  @Test
  void anAlertThatNobodySawIsToldAgainAfterADay() {
    feed(310, 0, 0, 3310, false);

    assertThat(engine.onTick(nowMs + 86_000_000L)).isEmpty();
    assertThat(engine.onTick(nowMs + 86_400_000L))
        .singleElement()
        .matches(e -> e.change() == Change.REPEATED);
  }

  @Test
  void whatThePackOfABankDoesAloneIsNoConcernOfTheBank() {
    Reading stranger = Reading.at(nowMs).cells(cells(3300)).currentMa(-80_000).build();

    assertThat(engine.onEntry("elsewhere", stranger, leftView)).isEmpty();
  }

  @Test
  void onePackIsNoBank() {
    assertThatThrownBy(() -> new BankEngine("bus", List.of(left), settings))
        .hasMessage("bank bus has 1 packs, least 2");
  }
}
