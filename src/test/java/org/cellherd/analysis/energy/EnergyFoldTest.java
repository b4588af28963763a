package org.cellherd.analysis.energy;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.FoldBench;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.ModelPack;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.Temperatures;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class EnergyFoldTest {
  private static final ZoneId BERLIN = ZoneId.of("Europe/Berlin");
  private static final PackPlan PLAN =
      PackPlan.builder("p", Chemistry.LFP, 4, 1, 100_000).chargeMv(4 * 3500).build();
  private static final AnalysisSettings SETTINGS = AnalysisSettings.of(PLAN).withZone(BERLIN);

  @Test
  void theDayOnWhichClocksGoForwardHas23Hours() {
    List<Finding> days = constantLoad("2026-03-28T00:00", 3 * 24);

    assertThat(days.get(1).facts().text("day")).contains("2026-03-29");
    assertThat(days.get(1).facts().number("hours")).hasValue(23);
    assertThat(days.get(1).facts().number("discharged_ah").orElse(0)).isCloseTo(23, within(1e-9));
    assertThat(days.get(1).facts().number("coverage_pct")).hasValue(100);
  }

  @Test
  void theDayOnWhichClocksGoBackHas25Hours() {
    List<Finding> days = constantLoad("2026-10-24T00:00", 3 * 24);

    assertThat(days.get(1).facts().text("day")).contains("2026-10-25");
    assertThat(days.get(1).facts().number("discharged_ah").orElse(0)).isCloseTo(25, within(1e-9));
  }

  /** A nickel pack stands high for hours while its load comes and goes. */
  @Test
  void thePausesOfALoadAreNoFullPack() {
    PackPlan plan = PackPlan.of("cart", Chemistry.NMC, 4, 1, 100_000);
    FoldBench bench =
        new FoldBench(plan, AnalysisSettings.of(plan), FindingName.ENERGY, EnergyFold::new);
    long now = 1_800_000_000_000L;
    for (int minute = 0; minute < 600; minute++) {
      boolean isHeld = minute < 60;
      int amperes = isHeld ? 2 : minute % 10 < 4 ? -20 : 0;
      int cellMv = isHeld ? 4_190 : 4_180 - minute / 10;
      bench.feed(
          Reading.at(now)
              .cells(CellVoltages.ofMv(cellMv, cellMv, cellMv, cellMv))
              .currentMa(amperes * 1000)
              .build());
      now += 60_000;
    }

    assertThat(bench.standing().facts().number("full_minutes").orElse(0)).isBetween(50.0, 70.0);
    assertThat(bench.standing().facts().number("soc_min_pct").orElse(0)).isLessThan(40);
  }

  /** Rules of the time zone database: clocks of the south go forward in spring, at other dates. */
  @ParameterizedTest
  @CsvSource({
    "Europe/Berlin, 2026-03-28, 2026-03-29, 23",
    "Europe/Berlin, 2026-12-23, 2026-12-24, 24",
    "Europe/Berlin, 2028-02-28, 2028-02-29, 24",
    "Europe/Berlin, 2027-02-28, 2027-03-01, 24",
    "Australia/Sydney, 2026-10-03, 2026-10-04, 23",
    "Australia/Sydney, 2026-04-04, 2026-04-05, 25",
    "Australia/Sydney, 2028-02-28, 2028-02-29, 24",
    "America/Santiago, 2026-09-05, 2026-09-06, 23",
    "Australia/Lord_Howe, 2026-10-03, 2026-10-04, 23.5"
  })
  void daysAreThoseOfTheOwnersClock(String zone, String from, String day, double hours) {
    List<Finding> days = constantLoad(ZoneId.of(zone), from + "T00:00", 3 * 24);

    Facts second = days.get(1).facts();
    assertThat(second.text("day")).contains(day);
    assertThat(second.number("hours")).hasValue(hours);
    assertThat(second.number("discharged_ah").orElse(0)).isCloseTo(hours, within(1e-3));
    assertThat(second.number("coverage_pct")).hasValue(100);
  }

  @Test
  void chargeBeyondThePublishedZonesIsCounted() {
    FoldBench bench = bench();
    long start = at("2026-11-05T10:00");
    for (int i = 0; i <= 40; i++) {
      bench.feed(
          Reading.at(start + i * 60_000L)
              .cells(CellVoltages.ofMv(3350, 3350, 3350, 3350))
              .currentMa(i <= 20 ? 25_000 : 15_000)
              .temperatures(Temperatures.ofTenthC(80, 110))
              .build());
    }

    assertThat(bench.standing().facts().number("beyond_zone_minutes").orElse(0))
        .isCloseTo(20, within(1.0));
    assertThat(bench.standing().sentence()).contains("published tables");
  }

  @Test
  void aStepOverMidnightIsSharedByBothDays() {
    FoldBench bench = bench();
    long midnight = at("2026-05-05T00:00");
    bench.feed(plain(midnight - 40_000, -1_000), plain(midnight + 20_000, -1_000));

    Facts before = bench.completed().get(0).facts();
    Facts after = bench.standing().facts();
    assertThat(before.number("discharged_ah").orElse(0)).isCloseTo(40 / 3600.0, within(1e-3));
    assertThat(after.number("discharged_ah").orElse(0)).isCloseTo(20 / 3600.0, within(1e-3));
  }

  @Test
  void daysAddUpToTheWhole() {
    FoldBench bench = bench();
    long start = at("2026-06-01T07:13");
    double wattHours = 0;
    for (int i = 0; i <= 5 * 24 * 12; i++) {
      int now = (int) Math.round(8_000 * Math.sin(i * 2 * Math.PI / 288));
      bench.feed(plain(start + i * 300_000L, now));
    }
    for (Finding day : bench.completed()) {
      wattHours +=
          day.facts().number("charged_wh").orElse(0)
              - day.facts().number("discharged_wh").orElse(0);
    }
    Facts last = bench.standing().facts();
    wattHours += last.number("charged_wh").orElse(0) - last.number("discharged_wh").orElse(0);

    assertThat(wattHours).isCloseTo(0, within(0.6));
  }

  @Test
  void countsMinutesOfChargingInTheCold() {
    FoldBench bench = bench();
    long start = at("2026-01-10T08:00");
    for (int i = 0; i <= 30; i++) {
      bench.feed(
          Reading.at(start + i * 60_000L)
              .cells(CellVoltages.ofMv(3300, 3300, 3300, 3300))
              .currentMa(i < 20 ? 2_000 : -2_000)
              .temperatures(Temperatures.ofTenthC(i < 10 ? 5 : -5, 60))
              .build());
    }

    assertThat(bench.standing().facts().number("cold_charge_minutes")).hasValue(10);
    assertThat(bench.standing().sentence()).contains("10 min with a cell sensor below 0");
  }

  @Test
  void chargeIsUnknownBeforeTheFirstFullPackAndThenOfTheWholeDay() {
    FoldBench bench = bench();
    ModelPack pack = new ModelPack(PLAN, at("2026-06-01T06:00"), 0.6);
    bench.feed(pack.step(60_000, -5));
    assertThat(bench.standing().facts().number("soc_max_pct")).isEmpty();

    chargeFully(bench, pack);
    for (int i = 0; i < 120; i++) {
      bench.feed(pack.step(60_000, -10));
    }

    Facts facts = bench.standing().facts();
    assertThat(facts.number("soc_max_pct")).hasValue(100);
    assertThat(facts.number("soc_min_pct").orElse(0)).isCloseTo(60, within(1.5));
    assertThat(facts.number("full_minutes").orElse(0)).isBetween(5.0, 60.0);
    assertThat(facts.number("days_since_full").orElse(9)).isCloseTo(2 / 24.0, within(0.1));
  }

  @Test
  void theFirstInstantOfADayIsNoDayYet() {
    FoldBench bench = bench();
    ModelPack pack = new ModelPack(PLAN, at("2026-06-01T23:58"), 0.6);
    for (int i = 0; i < 2; i++) {
      bench.feed(pack.step(60_000, -5));
    }

    assertThat(bench.maybeStanding()).isEmpty();
  }

  /** How deep a day went is counted, also where nobody knows between which states. */
  @Test
  void depthOfADayNeedsNoStateOfCharge() {
    ChargeRange range = new ChargeRange();
    range.count(-25);
    range.count(-5);

    assertThat(range.depthPct(100)).isEqualTo(25);
    assertThat(range.depthPct(24)).isEqualTo(100);
    assertThat(range.lowestPct(100)).isNaN();
    range.know(new Interval(40, 70, 100));
    assertThat(range.lowestPct(100)).isNaN();
    range.know(new Interval(65, 70, 75));
    assertThat(range.lowestPct(100)).isEqualTo(50);
    assertThat(range.highestPct(100)).isEqualTo(75);
  }

  /** Without resistance and with equal charge, energy efficiency is the ratio of the voltages. */
  @Test
  void roundTripIsTheRatioOfTheVoltages() {
    RoundTrip trip = new RoundTrip(1, 30);
    trip.top(0);
    trip.add(step(-10_000, 3_250, 3_600_000));
    trip.add(step(10_000, 3_380, 3_600_000));
    trip.top(7_200_000);

    assertThat(trip.pct(8_000_000).orElse(0)).isCloseTo(96.15, within(0.005));
    assertThat(trip.pct(40L * 86_400_000)).isEmpty();
  }

  /** Two tops are never quite alike: what is small beside that is no evidence of a sensor. */
  @Test
  void littleEnergyTellsNothing() {
    RoundTrip trip = new RoundTrip(1, 40);
    trip.top(0);
    trip.add(step(-10_000, 3_250, 3_600_000));
    trip.add(step(10_000, 3_380, 3_600_000));
    trip.top(7_200_000);

    assertThat(trip.pct(8_000_000)).isEmpty();
  }

  @Test
  void aTripWithAGapDoesNotCount() {
    RoundTrip trip = new RoundTrip(1, 30);
    trip.top(0);
    trip.add(step(-10_000, 3_250, 3_600_000));
    trip.breakOff();
    trip.add(step(10_000, 3_380, 3_600_000));
    trip.top(7_200_000);

    assertThat(trip.pct(8_000_000)).isEmpty();
  }

  /** An own example: 280 Ah at 51.2 V, 2.5 kWh a day. */
  @Test
  void autonomyOfAnOwnExample() {
    assertThat(Outlook.autonomy(280 * 51.2, 2500)).isCloseTo(4.36, within(0.005));
  }

  @Test
  void foreseesTheDayOnWhichWinterEmptiesThePack() {
    ClosedDays days = new ClosedDays();
    for (int i = 0; i < 14; i++) {
      double wiggle = i % 2 == 0 ? 0.3 : -0.3;
      days.add(
          new ClosedDays.Day(
              20_000 + i, Interval.exactly(-200), Interval.exactly(700), 40 - 2 * i + wiggle, 100));
    }

    assertThat(days.netWeekWh().orElseThrow().mid()).isEqualTo(-1400);
    assertThat(days.usualLoadWh().orElseThrow().mid()).isEqualTo(700);
    assertThat(days.emptyOn().at().orElseThrow().mid()).isCloseTo(20_020, within(0.5));
  }

  @Test
  void aWeekWithAnUnheardDayHasNoNet() {
    ClosedDays days = new ClosedDays();
    for (int i = 0; i < 7; i++) {
      days.add(
          new ClosedDays.Day(
              20_000 + i, Interval.exactly(-200), Interval.exactly(700), 40, i == 3 ? 50 : 100));
    }

    assertThat(days.netWeekWh()).isEmpty();
  }

  @Test
  void snapshotAndTailEqualTheWhole() {
    List<LogEntry> log = busyLog();
    FoldBench whole = bench();
    log.forEach(whole::feed);

    for (int cut : new int[] {1, 500, 1_234, log.size() - 1}) {
      whole.assertSameFromSnapshot(log, cut);
    }
  }

  @Test
  void aGapInPiecesIsTheSameAsOneGap() {
    List<LogEntry> log = busyLog();
    FoldBench whole = bench();
    log.forEach(whole::feed);
    FoldBench pieces = bench();
    FoldBench.splitGaps(log).forEach(pieces::feed);

    assertThat(pieces.completed()).isEqualTo(whole.completed());
    assertThat(pieces.analysis().standing()).isEqualTo(whole.analysis().standing());
    assertThat(pieces.state()).isEqualTo(whole.state());
  }

  @Test
  void aDayDatedByAWrongClockIsDatedAnew() {
    FoldBench bench = bench();
    bench.feed(new SessionStart(0, 1, false, true));
    for (int i = 0; i <= 10; i++) {
      bench.feed(plain(60_000L * i, -1_000));
    }
    long right = at("2026-05-05T12:00");
    bench.feed(new ClockStep(600_500, right), plain(right + 59_500, -1_000));

    assertThat(bench.completed()).isEmpty();
    assertThat(bench.standing().facts().text("day")).contains("2026-05-05");
    assertThat(bench.standing().facts().number("discharged_ah").orElse(0))
        .isCloseTo(10.5 / 60, within(0.6 / 60));
  }

  private static List<LogEntry> busyLog() {
    List<LogEntry> log = new ArrayList<>();
    ModelPack pack = new ModelPack(PLAN, at("2026-06-01T06:00"), 0.7);
    for (int day = 0; day < 4; day++) {
      for (int i = 0; i < 200; i++) {
        log.add(pack.charge(60_000, 20, 14.0));
      }
      for (int i = 0; i < 400; i++) {
        log.add(pack.step(60_000, -8));
      }
      long from = pack.timeMs();
      pack.skip(13 * 3_600_000L, -0.5);
      log.add(new Gap(from, pack.timeMs() - 500, Gap.Cause.NO_BYTES));
    }
    return log;
  }

  private static void chargeFully(FoldBench bench, ModelPack pack) {
    for (int i = 0; i < 200; i++) {
      bench.feed(pack.charge(60_000, 20, 14.0));
      if (i > 60 && bench.standing().facts().number("soc_max_pct").isPresent()) {
        return;
      }
    }
  }

  private static Amounts step(long ma, long mv, long ms) {
    Amounts amounts = new Amounts();
    amounts.between(ma, ma * mv, ma, ma * mv, ms);
    return amounts;
  }

  private static List<Finding> constantLoad(String from, int hours) {
    return constantLoad(BERLIN, from, hours);
  }

  private static List<Finding> constantLoad(ZoneId zone, String from, int hours) {
    AnalysisSettings settings = AnalysisSettings.of(PLAN).withZone(zone);
    FoldBench bench = new FoldBench(PLAN, settings, FindingName.ENERGY, EnergyFold::new);
    long start = LocalDateTime.parse(from).atZone(zone).toInstant().toEpochMilli();
    for (int i = 0; i <= hours * 60; i++) {
      bench.feed(plain(start + i * 60_000L, -1_000));
    }
    return bench.completed();
  }

  private static FoldBench bench() {
    return new FoldBench(PLAN, SETTINGS, FindingName.ENERGY, EnergyFold::new);
  }

  private static Reading plain(long ms, int milliamps) {
    return Reading.at(ms)
        .cells(CellVoltages.ofMv(3300, 3300, 3300, 3300))
        .currentMa(milliamps)
        .build();
  }

  private static long at(String local) {
    return LocalDateTime.parse(local).atZone(BERLIN).toInstant().toEpochMilli();
  }
}
