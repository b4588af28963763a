package org.cellherd.analysis.capacity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.FoldBench;
import org.cellherd.analysis.ModelPack;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class CapacityFoldTest {
  private static final PackPlan PLAN =
      PackPlan.builder("p", Chemistry.LFP, 4, 1, 100_000).chargeMv(4 * 3500).build();
  private static final long STEP_MS = 10_000;

  private final List<LogEntry> log = new ArrayList<>();
  private final ModelPack pack = new ModelPack(PLAN, 1_800_000_000_000L, 0.8);

  @Test
  void findsADischargeFromFullToEmpty() {
    pack.cell(3, 90, 0.8);
    charge();
    double full = pack.soc(3) * 90;
    rest(30);
    discharge(20, 0);

    Facts test = only().facts();

    double truth = full - pack.soc(3) * 90;
    assertThat(number(test, "ah")).isCloseTo(truth, within(0.005 * truth));
    assertThat(number(test, "ah_low")).isLessThan(truth);
    assertThat(number(test, "ah_high")).isGreaterThan(truth);
    assertThat(number(test, "limiting_cell")).isEqualTo(3);
    assertThat(number(test, "c_rate")).isCloseTo(0.2, within(0.001));
    assertThat(number(test, "mean_temp_c")).isEqualTo(25);
    assertThat(number(test, "coverage_pct")).isEqualTo(100);
    assertThat(number(test, "rest_minutes")).isCloseTo(32, within(1.5));
    assertThat(test.text("start_kind")).contains("tail");
    assertThat(test.text("end_reason")).contains("cut_off");
    assertThat(only().sentence()).contains("Cell 3 ended it").contains("of the rated 100 Ah");
  }

  @Test
  void pausesAreAllowed() {
    charge();
    discharge(20, 0.5);
    rest(60);
    discharge(20, 0);

    assertThat(number(only().facts(), "ah")).isCloseTo(99, within(2.0));
  }

  @Test
  void aDischargeWithChargeInBetweenIsRefused() {
    charge();
    discharge(20, 0.1);
    for (int i = 0; i < 6 * 60; i++) {
      log.add(pack.step(STEP_MS, 10));
    }
    discharge(20, 0);

    assertThat(bench().completed()).hasSize(1);
    assertThat(only().facts().number("ah")).isEmpty();
    assertThat(only().sentence()).contains("charged again before it was empty");
  }

  @Test
  void dailyUseIsNotReported() {
    for (int day = 0; day < 3; day++) {
      charge();
      discharge(20, 0.5);
    }
    charge();

    assertThat(bench().completed()).isEmpty();
  }

  @Test
  void aHoleUnderALoadWidensTheBoundsByHalfOfWhatMayHaveFlowed() {
    charge();
    double full = pack.soc(1) * 100;
    discharge(20, 0.5);
    long from = pack.timeMs();
    pack.skip(600_000, -20);
    log.add(new Gap(from, pack.timeMs() - 100, Gap.Cause.NO_BYTES));
    discharge(20, 0);

    Facts test = only().facts();
    double truth = full - pack.soc(1) * 100;
    assertThat(number(test, "ah")).isCloseTo(truth, within(1.75));
    assertThat(number(test, "ah_low")).isLessThan(truth - 0.5);
    assertThat(number(test, "ah_high")).isGreaterThan(truth + 0.5);
  }

  @Test
  void aDischargeThatWasMostlyNotHeardIsRefusedWithWhatWouldBeRight() {
    charge();
    discharge(20, 0.7);
    long from = pack.timeMs();
    pack.skip(7_200_000, -20);
    log.add(new Gap(from, pack.timeMs() - 100, Gap.Cause.NO_BYTES));
    discharge(20, 0);

    assertThat(only().facts().number("ah")).isEmpty();
    assertThat(only().sentence()).contains("a log without gaps settles it");
  }

  @Test
  void aStopInThePlateauSaysNothingOfTheCapacity() {
    charge();
    discharge(20, 0.15);
    rest(120);
    charge();

    assertThat(only().facts().number("ah")).isEmpty();
    assertThat(only().facts().text("end_reason")).contains("stopped_early");
    assertThat(only().sentence()).contains("stopped with charge left");
  }

  @Test
  void aStopNearEmptyIsEstimatedWithBounds() {
    charge();
    discharge(20, 0.06);
    rest(120);
    charge();

    Facts test = only().facts();
    assertThat(number(test, "ah_low")).isLessThan(100);
    assertThat(number(test, "ah_high")).isGreaterThan(100);
    assertThat(number(test, "ah")).isCloseTo(100, within(5.0));
    assertThat(test.get("partial")).contains(true);
  }

  @Test
  void aChargeEndedByTheFirstCellIsNamed() {
    pack.cell(2, 100, 0.9);
    Reading last = pack.step(STEP_MS, 20);
    while (last.cells().tenthMv(2) < 36_000) {
      last = pack.step(STEP_MS, 20);
      log.add(last);
    }
    rest(20);
    discharge(20, 0);

    assertThat(only().facts().text("start_kind")).contains("first_cell");
    assertThat(only().sentence()).contains("ended when the first cell was full");
  }

  /** The smallest cell, or any other, is full first: no sentence takes back the one before. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void balanceIsAdvisedOnlyWhereItBringsSomething(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    int small = 1 + random.nextInt(4);
    int first = seed % 2 == 0 ? small : 1 + random.nextInt(4);
    for (int cell = 1; cell <= 4; cell++) {
      double ah = cell == small ? 86 : 94 + 4 * random.nextDouble();
      double shortAh = cell == first ? 10 : 10.7 + 0.8 * random.nextDouble();
      pack.cell(cell, ah, 1 - shortAh / ah);
    }
    Reading last = pack.step(STEP_MS, 20);
    while (last.cells().tenthMv(last.cells().highestCell()) < 36_000) {
      last = pack.step(STEP_MS, 20);
      log.add(last);
    }
    rest(20);
    discharge(20, 0);

    String said = only().sentence();
    Matcher most = Pattern.compile("balancing would bring at most ([0-9.]+) Ah", 2).matcher(said);
    boolean isNothing = most.find() && Double.parseDouble(most.group(1)) < 1;
    assertThat(isNothing && said.contains("more balance, more")).as(said).isFalse();
  }

  @Test
  void aSurgeIsNotEmpty() {
    charge();
    discharge(20, 0.5);
    log.add(pack.step(1_000, -1_600));
    log.add(pack.step(1_000, -20));

    assertThat(bench().completed()).isEmpty();
  }

  @Test
  void aBoardThatOpensEndsTheTest() {
    charge();
    Reading last = pack.step(STEP_MS, -20);
    while (last.cells().tenthMv(1) > 27_500) {
      last = pack.step(STEP_MS, -20);
      log.add(last);
    }
    for (int i = 0; i < 30; i++) {
      log.add(open(pack.step(STEP_MS, 0)));
    }

    assertThat(only().facts().text("end_reason")).contains("board_limit");
  }

  /** The two differ by less than an offset of the board's current might make. */
  @Test
  void noExponentIsToldWhereTheBoundsHoldNoEffect() {
    charge();
    discharge(20, 0);
    charge();
    discharge(50, 0);

    assertThat(bench().completed().get(1).facts().get("other_rate")).isEmpty();
  }

  @Test
  void twoRatesGiveAnExponentThatIsOnlyGoodBetweenThem() {
    for (int cell = 1; cell <= 4; cell++) {
      pack.ohms(cell, 0.005);
    }
    charge();
    discharge(20, 0);
    charge();
    discharge(50, 0);

    Finding second = bench().completed().get(1);
    Facts other = (Facts) second.facts().get("other_rate").orElseThrow();
    assertThat(number(other, "c_rate")).isCloseTo(0.2, within(0.001));
    assertThat(number(other, "peukert_k")).isBetween(1.0, 1.1);
    assertThat(number(other, "peukert_k_low")).isGreaterThan(1);
    assertThat(second.facts().get("since_first")).isEmpty();
    assertThat(second.sentence()).contains("good between these two rates only");
  }

  @Test
  void theSameCellAtTheTopAndTheBottomOfThreeTestsIsSmall() {
    pack.cell(4, 80, 0.79);
    for (int i = 0; i < 3; i++) {
      charge();
      discharge(20, 0);
    }

    Facts last = bench().completed().get(2).facts();
    assertThat(number(last, "weak_cell")).isEqualTo(4);
    assertThat(number((Facts) last.get("since_first").orElseThrow(), "ratio_pct"))
        .isCloseTo(100, within(1.0));
  }

  @Test
  void snapshotAndTailEqualTheWhole() {
    charge();
    discharge(20, 0);
    charge();
    discharge(40, 0);
    FoldBench whole = bench();

    for (int cut : new int[] {3, 1_000, log.size() / 2, log.size() - 10}) {
      whole.assertSameFromSnapshot(log, cut);
    }
  }

  @Test
  void aGapInPiecesIsTheSameAsOneGap() {
    charge();
    discharge(20, 0.5);
    long from = pack.timeMs();
    pack.skip(40_000, -20);
    log.add(new Gap(from, pack.timeMs() - 100, Gap.Cause.NO_BYTES));
    discharge(20, 0);
    FoldBench pieces =
        new FoldBench(PLAN, AnalysisSettings.of(PLAN), FindingName.CAPACITY, CapacityFold::new);
    FoldBench.splitGaps(log).forEach(pieces::feed);

    assertThat(pieces.completed()).isEqualTo(bench().completed());
    assertThat(pieces.state()).isEqualTo(bench().state());
  }

  private static Reading open(Reading r) {
    return Reading.at(r.timeMs())
        .cells(r.cells())
        .currentMa(r.currentMa().orElse(0))
        .dischargeSwitch(false)
        .build();
  }

  private void charge() {
    for (int i = 0; i < 6 * 60 * 12; i++) {
      Reading reading = pack.charge(STEP_MS, 20, 14.0);
      log.add(reading);
      if (reading.currentMa().orElse(0) < 1_000) {
        break;
      }
    }
    rest(2);
  }

  private void rest(int minutes) {
    for (int i = 0; i < minutes * 6; i++) {
      log.add(pack.step(STEP_MS, 0));
    }
  }

  private void discharge(double amps, double toSoc) {
    for (int i = 0; i < 6 * 60 * 30; i++) {
      Reading reading = pack.step(STEP_MS, -amps);
      log.add(reading);
      if (reading.cells().tenthMv(reading.cells().lowestCell()) <= 25_000 || pack.soc(1) <= toSoc) {
        break;
      }
    }
    rest(5);
  }

  private Finding only() {
    List<Finding> completed = bench().completed();
    assertThat(completed).hasSize(1);
    return completed.get(0);
  }

  private FoldBench bench() {
    FoldBench bench =
        new FoldBench(PLAN, AnalysisSettings.of(PLAN), FindingName.CAPACITY, CapacityFold::new);
    log.forEach(bench::feed);
    return bench;
  }

  private static double number(Facts facts, String name) {
    return facts.number(name).orElse(Double.NaN);
  }
}
