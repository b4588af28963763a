package org.cellherd.analysis.charge;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Gap;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

class SocFoldTest {
  private static final PackPlan PLAN =
      PackPlan.builder("p", Chemistry.LFP, 4, 1, 100_000).chargeMv(14_000).build();

  private final PackAnalysis analysis =
      new PackAnalysis(PLAN, AnalysisSettings.of(PLAN).withDeadZoneMa(100));
  private long now = 1_767_225_600_000L;

  /** Seconds of one current at one voltage a cell, a reading every second. */
  private void feed(int seconds, int mv, int milliamps) {
    for (int i = 0; i < seconds; i++) {
      now += 1000;
      analysis.accept(
          Reading.at(now).cells(CellVoltages.ofMv(mv, mv, mv, mv)).currentMa(milliamps).build());
    }
  }

  private Interval pct() {
    return analysis.socPct().orElseThrow();
  }

  private void full() {
    feed(600, 3450, 10_000);
    feed(120, 3500, 3_000);
  }

  @Test
  void nothingIsSaidBeforeAnythingIsKnown() {
    feed(10, 3310, 5_000);

    assertThat(analysis.socPct()).isEmpty();
  }

  @Test
  void tailCurrentAtChargeVoltageIsFull() {
    full();

    assertThat(pct().mid()).isCloseTo(100, within(1e-9));
    assertThat(pct().low()).isGreaterThan(98);
  }

  @Test
  void aCellAtTheKneeIsNoFullPack() {
    feed(600, 3420, 10_000);
    feed(600, 3350, -5_000);
    assertThat(analysis.sinceFullMs()).isEmpty();

    full();
    feed(600, 3350, -5_000);
    assertThat(analysis.sinceFullMs().orElse(-1)).isBetween(598_000L, 600_000L);
  }

  @Test
  void countedDischargeIsTakenOffTheAnchor() {
    full();
    feed(7200, 3310, -10_000);

    assertThat(pct().mid()).isCloseTo(80, within(0.1));
    assertThat(pct().low()).as("a used pack holds less than its label").isLessThan(76);
    assertThat(pct().holds(80)).isTrue();
  }

  @Test
  void onThePlateauTheTextSaysThatVoltageCannotTell() {
    full();
    feed(3600, 3310, -10_000);

    Finding soc =
        analysis.standing().stream()
            .filter(f -> f.name() == FindingName.SOC)
            .findFirst()
            .orElseThrow();
    assertThat(soc.sentence()).contains("the voltage cannot tell");
    assertThat(soc.facts().get("voltage_tells")).contains(false);
  }

  @Test
  void plateauRestDoesNotMoveTheCount() {
    full();
    feed(7200, 3310, -10_000);
    double before = pct().mid();
    feed(3 * 3600, 3331, 0);

    assertThat(pct().mid()).isCloseTo(before, within(0.01));
  }

  @Test
  void hiddenCurrentWidensTheInterval() {
    full();
    feed(3600, 3310, -10_000);
    double before = pct().high() - pct().low();
    feed(10 * 3600, 3331, 0);

    double offsetAmps = 0.2;
    double hiddenPct = 2 * offsetAmps * 10 / 100 * 100;
    assertThat(pct().high() - pct().low() - before)
        .as("of a pack that may hold 0.6 of its label, counted 2 % wrong")
        .isCloseTo(hiddenPct / (0.6 * 0.98), within(0.3));
  }

  @Test
  void aGapIsBookedAsUncertaintyAndNotAsCharge() {
    full();
    feed(3600, 3310, -10_000);
    Interval before = pct();
    analysis.accept(new Gap(now, now + 3_600_000, Gap.Cause.NO_BYTES));
    now += 3_600_000;

    assertThat(pct().low()).isLessThan(before.low() - 9);
    feed(1, 3310, -10_000);
    assertThat(pct().mid()).isCloseTo(before.mid(), within(0.01));
    assertThat(pct().low()).isLessThan(before.low() - 9);
  }

  @Test
  void lowestCellAtItsEndUnderLittleCurrentIsEmpty() {
    full();
    feed(3600, 3310, -10_000);
    feed(20, 2790, -10_000);

    assertThat(pct().high())
        .as("an iron-phosphate cell gives a few percent from 2.8 V to 2.5 V")
        .isBetween(2.5, 3.5);
  }

  @Test
  void aGreatCorrectionOfTheCountIsDoubted() {
    full();
    feed(3600, 3310, -10_000);
    feed(20, 2790, -10_000);

    assertThat(analysis.suspicions()).anyMatch(s -> s.kind() == Suspicion.Kind.CHARGE_COUNT);
  }

  @Test
  void aUsedPackOfTwoThirdsItsRatingIsLearnedAndNotDoubted() {
    full();
    feed((int) (6.5 * 3600), 3310, -10_000);
    feed(20, 2790, -10_000);

    assertThat(analysis.suspicions()).isEmpty();

    feed(3 * 3600, 3331, 10_000);
    assertThat(pct().mid()).isCloseTo(100 * 30 / 65.0, within(1.5));
  }

  @Test
  void aChargeThatFitsWithinAVagueBeginningIsNoOffset() {
    feed(4 * 3600, 3331, 0);
    feed(6 * 3600, 3345, 10_000);

    assertThat(analysis.suspicions()).isEmpty();
    assertThat(pct().low()).as("60 of 105 Ah, less 0.2 A over ten hours").isGreaterThan(50);
  }

  @Test
  void anOffsetSeenBetweenTwoFullChargesIsTakenOffTheCount() {
    full();
    for (int day = 0; day < 2; day++) {
      feed(5 * 3600, 3310, -9_500);
      feed(5 * 3600, 3345, 10_500);
      full();
    }
    feed(5 * 3600, 3310, -9_500);

    assertThat(pct().mid()).isCloseTo(50, within(1.0));
  }

  @Test
  void moreThanThePackHoldsIsAnOffset() {
    full();
    feed(3600, 3310, -10_000);
    feed(4 * 3600, 3331, 10_000);

    assertThat(analysis.suspicions()).anyMatch(s -> s.kind() == Suspicion.Kind.CURRENT_OFFSET);
    assertThat(pct().low()).as("an offset counts for nothing").isLessThan(90);
  }
}
