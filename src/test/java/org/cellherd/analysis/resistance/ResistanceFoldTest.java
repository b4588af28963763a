package org.cellherd.analysis.resistance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.FoldBench;
import org.cellherd.analysis.OpenCsv;
import org.cellherd.analysis.cell.Arrhenius;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.junit.jupiter.api.Test;

class ResistanceFoldTest {
  private static final PackPlan PLAN = PackPlan.of("p", Chemistry.LFP, 4, 1, 100_000);

  private final List<LogEntry> log = new ArrayList<>();
  private final Random random = new Random(3);
  private final double[] cellMohm = {0.5, 0.5, 0.5, 0.5};
  private final double[] strapMohm = {0, 0, 0, 0};
  private double pathMohm;
  private double celsius = 25;
  private int sign = 1;
  private long now = 1_800_000_000_000L;

  @Test
  void findsTheResistanceOfEachCellWithinFivePercent() {
    cellMohm[1] = 0.6;
    loads(30);

    Facts facts = bench().standing().facts();
    assertThat(cell(facts, 1).number("mohm").orElse(0)).isCloseTo(0.5, within(0.025));
    assertThat(cell(facts, 2).number("mohm").orElse(0)).isCloseTo(0.6, within(0.03));
    assertThat(cell(facts, 1).number("pulse_s")).hasValue(10);
    assertThat(cell(facts, 1).number("temp_c")).hasValue(25);
    assertThat(cell(facts, 1).text("suspect")).isEmpty();
    assertThat(facts.text("current_sign")).contains("confirmed");
  }

  @Test
  void namesTheTemperatureAtWhichTheStepsReallyWere() {
    celsius = 21;
    loads(20);

    assertThat(bench().standing().facts().number("temp_c")).hasValue(21);
    assertThat(bench().standing().sentence()).contains("around 21 °C");
  }

  @Test
  void findsTheLinksBetweenSumAndTerminals() {
    pathMohm = 4;
    loads(30);

    Facts facts = bench().standing().facts();
    assertThat(facts.number("strap_mohm").orElse(0)).isCloseTo(4, within(0.2));
    assertThat(bench().standing().sentence()).contains("Links and switches");
  }

  @Test
  void aBadStrapIsToldFromACellByTemperature() {
    strapMohm[2] = 0.6;
    loads(30);
    celsius = 7;
    loads(20);

    Facts facts = bench().standing().facts();
    assertThat(cell(facts, 3).text("suspect")).contains("strap");
    assertThat(cell(facts, 3).number("strap_mohm").orElse(0)).isCloseTo(0.6, within(0.05));
    assertThat(bench().standing().sentence()).contains("Cell 3").contains("a bad joint");
  }

  @Test
  void aTiredCellIsToldFromAStrapByTemperature() {
    cellMohm[2] = 1.1;
    loads(30);
    celsius = 7;
    loads(20);

    assertThat(cell(bench().standing().facts(), 3).text("suspect")).contains("cell");
  }

  @Test
  void atOneTemperatureBothAreNamed() {
    cellMohm[3] = 1.1;
    loads(15);

    assertThat(cell(bench().standing().facts(), 4).text("suspect")).contains("strap_or_cell");
    assertThat(bench().standing().sentence()).contains("main lead's lug");
  }

  @Test
  void fewStepsAccuseNoCellThatIsALittleAbove() {
    cellMohm[3] = 0.8;
    loads(3);

    Finding finding = bench().standing();
    assertThat(cell(finding.facts(), 4).text("suspect")).isEmpty();
    assertThat(finding.sentence()).contains("10 are needed");
  }

  @Test
  void aLoadThatOnlyComesAccusesNobodyYet() {
    cellMohm[3] = 2;
    hold(25, 0, 3_300);
    hold(45, -40, 3_300);

    assertThat(cell(bench().standing().facts(), 4).text("suspect")).isEmpty();

    hold(30, 0, 3_300);

    assertThat(cell(bench().standing().facts(), 4).text("suspect")).contains("strap_or_cell");
  }

  @Test
  void aWrongSignIsSaidInWords() {
    sign = -1;
    loads(10);

    assertThat(bench().standing().facts().text("current_sign")).contains("wrong");
    assertThat(bench().standing().sentence()).contains("wrong sign");
    assertThat(bench().standing().facts().get("cells")).hasValue(List.of());
  }

  @Test
  void fewStepsOfAWrongSignTellNoResistance() {
    sign = -1;
    loads(2);

    assertThat(bench().maybeStanding()).isEmpty();
  }

  @Test
  void pulsesThatMoveACellAlongAKneeAreLeftOut() {
    for (int i = 0; i < 10; i++) {
      hold(20, 0, 3_450);
      hold(40, -20, 3_450);
    }

    Facts cell = cell(bench().standing().facts(), 1);
    assertThat(cell.number("pulse_s").orElseThrow()).isLessThanOrEqualTo(5);
    assertThat(cell.number("mohm_low").orElseThrow()).isLessThan(0.5);
    assertThat(cell.number("mohm_high").orElseThrow()).isGreaterThan(0.5);
  }

  @Test
  void anUnsteadyCurrentGivesNoStep() {
    for (int i = 0; i < 200; i++) {
      hold(3, -20 + 10 * (i % 3), 3_300);
    }

    assertThat(bench().maybeStanding()).isEmpty();
  }

  @Test
  void aFrameOutOfStepDoesNotMoveTheResult() {
    for (int i = 0; i < 20; i++) {
      hold(20, 0, 3_300);
      log.add(reading(-20, 3_300, 0));
      now += 1_000;
      hold(40, -20, 3_300);
    }

    assertThat(cell(bench().standing().facts(), 1).number("mohm").orElse(0))
        .isCloseTo(0.5, within(0.025));
  }

  @Test
  void aFindingIsCompletedOnceADay() {
    for (int day = 0; day < 3; day++) {
      loads(12);
      long from = now;
      now += 24 * 3_600_000L;
      log.add(new Gap(from, now - 1_000, Gap.Cause.NO_BYTES));
    }
    hold(5, 0, 3_300);

    assertThat(bench().completed()).hasSize(3);
  }

  @Test
  void sinceATimeTellsWhatAFoldOfThatTimeAloneTells() {
    loads(30);
    celsius = 8;
    loads(30);
    hold(40, 0, 3_300);
    long from = now;
    int before = log.size();
    cellMohm[1] = 0.7;
    loads(12);
    celsius = 25;
    loads(20);
    Finding since =
        bench().analysis().standingSince(from).stream()
            .filter(f -> f.name() == FindingName.RESISTANCE)
            .findFirst()
            .orElseThrow();

    log.subList(0, before).clear();
    assertThat(since).isEqualTo(bench().standing());
    // Of 40 steps at this temperature the newest is still watched, the first went across both.
    assertThat(cell(since.facts(), 2).number("events")).hasValue(38);
    assertThat(cell(since.facts(), 2).number("mohm").orElse(0)).isCloseTo(0.7, within(0.035));
  }

  @Test
  void aTimeWithoutStepsTellsNothing() {
    loads(30);
    hold(40, 0, 3_300);

    assertThat(bench().analysis().standingSince(now))
        .noneMatch(f -> f.name() == FindingName.RESISTANCE);
  }

  @Test
  void snapshotAndTailEqualTheWhole() {
    pathMohm = 2;
    loads(15);
    celsius = 8;
    loads(15);
    FoldBench whole = bench();

    for (int cut : new int[] {1, 65, 400, log.size() - 3}) {
      whole.assertSameFromSnapshot(log, cut);
    }
  }

  /** Own check values of the factor at 25 kJ/mol. */
  @Test
  void temperatureFactors() {
    assertThat(Arrhenius.factor(0, 25_000)).isCloseTo(2.5170, within(5e-5));
    assertThat(Arrhenius.factor(5, 25_000)).isCloseTo(2.0651, within(5e-5));
    assertThat(Arrhenius.factor(35, 25_000)).isCloseTo(0.7209, within(5e-5));
  }

  /** In the manner of IEC 61960, own values: 3.285 V at 20 A, then 3.241 V at 100 A. */
  @Test
  void twoCurrentsInTheMannerOfTheStandard() {
    Arrays.fill(cellMohm, 0.55);
    for (int i = 0; i < 10; i++) {
      hold(25, -20, 3_296);
      hold(45, -100, 3_296);
    }

    assertThat(bench().standing().facts().number("median_mohm").orElse(0))
        .isCloseTo(0.550, within(0.006));
  }

  /** Open data of a 3 Ah LFP cell at half charge, BSD-3 licence, tum-ees/simses. */
  @Test
  void keepsTemperaturesApartAsAMeasuredCellNeedsIt() {
    List<Double> measured = new ArrayList<>();
    for (double temperature : new double[] {10, 25, 40}) {
      double mohm = measuredMohm(temperature);
      measured.add(mohm);
      Arrays.fill(cellMohm, mohm / 100 / Arrhenius.factor(temperature, 25_000));
      celsius = temperature;
      loads(12);
    }

    List<?> rows = (List<?>) bench().standing().facts().get("by_temp").orElseThrow();
    List<Double> found = new ArrayList<>();
    for (Object row : rows) {
      if (((Facts) row).number("pulse_s").orElse(0) == 10) {
        found.add(100 * ((Facts) row).number("median_mohm").orElse(0));
      }
    }
    assertThat(measured.get(0)).isCloseTo(69.4, within(0.05));
    for (int i = 0; i < 3; i++) {
      assertThat(found.get(i)).isCloseTo(measured.get(i), within(0.05 * measured.get(i)));
    }
  }

  private static double measuredMohm(double temperature) {
    return OpenCsv.rows("lfp_3ah_resistance.csv").stream()
        .filter(row -> OpenCsv.number(row, "temp_c") == temperature)
        .filter(row -> OpenCsv.number(row, "soc_pct") == 50)
        .filter(row -> "discharge".equals(row.get("direction")))
        .mapToDouble(row -> 1000 * OpenCsv.number(row, "r_ohm"))
        .findFirst()
        .orElseThrow();
  }

  private void loads(int count) {
    for (int i = 0; i < count; i++) {
      hold(25, 0, 3_300);
      hold(45, -25 - random.nextInt(20), 3_300);
    }
  }

  private void hold(int seconds, double amps, int ocvMv) {
    for (int i = 0; i < seconds; i++) {
      log.add(reading(amps, ocvMv, amps));
      now += 1_000;
    }
  }

  private Reading reading(double amps, int ocvMv, double voltsFrom) {
    int[] tenthMv = new int[4];
    double sum = 0;
    for (int i = 0; i < 4; i++) {
      double r = cellMohm[i] * Arrhenius.factor(celsius, 25_000) + strapMohm[i];
      double mv = ocvMv + voltsFrom * r + random.nextGaussian() * 0.3;
      tenthMv[i] = (int) Math.round(mv) * 10;
      sum += ocvMv + voltsFrom * r;
    }
    return Reading.at(now)
        .cells(CellVoltages.ofTenthMv(tenthMv))
        .currentMa((int) Math.round(sign * amps * 1000))
        .packMv((int) Math.round(sum + voltsFrom * pathMohm))
        .temperatures(Temperatures.ofTenthC((int) Math.round(celsius * 10)))
        .build();
  }

  private static Facts cell(Facts facts, int cell) {
    return (Facts) ((List<?>) facts.get("cells").orElseThrow()).get(cell - 1);
  }

  private FoldBench bench() {
    FoldBench bench =
        new FoldBench(PLAN, AnalysisSettings.of(PLAN), FindingName.RESISTANCE, ResistanceFold::new);
    log.forEach(bench::feed);
    return bench;
  }
}
