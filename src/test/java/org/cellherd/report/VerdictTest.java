package org.cellherd.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.cellherd.SimulatedRun;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.Temperatures;
import org.cellherd.report.plot.Tracks;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.TestScenarios;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What a report says first, against the readings of a drawn part of a drawn night. */
class VerdictTest {

  private static final List<String> NIGHTS =
      List.of("runaway", "bouncing-night", "over-discharge", "first-night", "healthy-night");

  /** A little more than two columns of a report: what lasts so long fills one. */
  private static final double FILLS_A_COLUMN = 2.1 / 480;

  /** How a cell stood to one of its limits: the furthest, and how long it was beyond in one go. */
  private record Excursion(int cell, double worstMv, long longestMs) {}

  @ParameterizedTest
  @ValueSource(longs = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9})
  void whatWasBeyondALimitIsSaidFirstWhetherItWasJudgedOrNot(long seed) {
    Random random = new Random(seed);
    String name = NIGHTS.get((int) seed % NIGHTS.size());
    Scenario night = TestScenarios.polledEvery(5, name).withSeed(seed);
    List<Reading> readings = new ArrayList<>();
    SimulatedRun run =
        new SimulatedRun(night, true)
            .run(night.pollMs(), r -> r.analysis().reading().ifPresent(readings::add));
    long endMs = readings.get(readings.size() / 2 + random.nextInt(readings.size() / 2)).timeMs();
    List<Reading> heard = readings.stream().filter(r -> r.timeMs() < endMs).toList();
    Tracks tracks = new Tracks(night.startMs(), endMs);
    heard.forEach(tracks::add);
    boolean isWatched = random.nextBoolean();
    List<AlertSpan> alerts =
        isWatched
            ? AlertSpan.of(run.events().stream().filter(e -> e.alert().timeMs() < endMs).toList())
            : List.of();
    PackPlan plan = run.plan();
    ReportInput.Evidence evidence =
        new ReportInput.Evidence(List.of(), alerts, List.of(), List.of(), isWatched, List.of());
    ReportInput input =
        Nights.input(plan, tracks, evidence, new Made(ZoneOffset.UTC, endMs, "cellherd"));

    String said = String.join(" ", new Verdict(input).sentences());

    AlertSettings rules = Rules.defaults(plan);
    double high = rules.rule(CellHigh.ID).number("limit_mv");
    double low = rules.rule(CellLow.ID).number("limit_mv");
    Excursion above = excursion(heard, 1, high);
    Excursion below = excursion(heard, -1, low);
    expect(said, above, "above the alert limit of " + Spoken.volts(high), endMs - night.startMs());
    expect(said, below, "below the alert limit of " + Spoken.volts(low), endMs - night.startMs());
    boolean isBad = alerts.stream().anyMatch(a -> a.worst() == Priority.CRITICAL);
    assertThat(said.startsWith("The readings of this time"))
        .as("%s, seed %d: %s", night.title(), seed, said)
        .isEqualTo(!isBad && !said.contains("the alert limit of"));
  }

  private static void expect(String said, Excursion worst, String words, long spanMs) {
    if (worst.longestMs() > spanMs * FILLS_A_COLUMN) {
      assertThat(said).startsWith("Cell ");
      assertThat(said)
          .containsPattern(
              "Cell %d (reached|fell to) %s, %s"
                  .formatted(worst.cell(), Spoken.volts(worst.worstMv()), words));
    } else if (worst.longestMs() == 0) {
      assertThat(said).doesNotContain(words);
    }
  }

  private static Excursion excursion(List<Reading> readings, int side, double limitMv) {
    Excursion worst = new Excursion(0, Double.NaN, 0);
    for (int cell = 1; cell <= readings.get(0).cells().count(); cell++) {
      Excursion own = excursion(readings, cell, side, limitMv);
      boolean isWorse = !(side * (own.worstMv() - worst.worstMv()) <= 0);
      worst = own.longestMs() > 0 && isWorse ? own : worst;
    }
    return worst;
  }

  private static Excursion excursion(List<Reading> readings, int cell, int side, double limitMv) {
    double worst = -side * Double.MAX_VALUE;
    long longest = 0;
    long sinceMs = Long.MAX_VALUE;
    for (Reading reading : readings) {
      double mv = reading.cells().has(cell) ? reading.cells().mv(cell) : limitMv;
      worst = side * (mv - worst) > 0 ? mv : worst;
      sinceMs = side * (mv - limitMv) > 0 ? Math.min(sinceMs, reading.timeMs()) : Long.MAX_VALUE;
      longest = sinceMs == Long.MAX_VALUE ? longest : Math.max(longest, reading.timeMs() - sinceMs);
    }
    return new Excursion(cell, worst, longest);
  }

  /** Nobody acknowledged it: its name is the same each time. */
  @Test
  void anAlertThatIsRaisedAgainIsToldByItsLongestTime() {
    List<AlertEvent> events = new ArrayList<>();
    for (int day = 0; day < 3; day++) {
      long fromMs = day * 86_400_000L;
      int minutes = day == 1 ? 300 : 5;
      events.add(event(AlertEvent.Change.RAISED, fromMs, Facts.NONE));
      Alert.Peak peak =
          new Alert.Peak("cell 4 at 3.69" + day + " V", fromMs + 60_000, minutes * 60_000L, fromMs);
      events.add(event(AlertEvent.Change.RETURNED, fromMs + 1, peak.in(Facts.NONE)));
    }

    List<AlertSpan> spans = AlertSpan.of(events);

    assertThat(spans).hasSize(3);
    PackPlan plan = PackPlan.of("crate", Chemistry.LFP, 4, 1, 27_000);
    ReportInput.Evidence evidence =
        new ReportInput.Evidence(List.of(), spans, List.of(), List.of(), true, List.of());
    Made made = new Made(ZoneOffset.UTC, 3 * 86_400_000L, "cellherd");
    ReportInput input = Nights.input(plan, new Tracks(0, 480_000), evidence, made);
    assertThat(String.join(" ", new Verdict(input).sentences()))
        .contains("3 alerts (3 critical), the worst on 2 Jan 1970 00:00: cell 4 at 3.691 V");
  }

  private static AlertEvent event(AlertEvent.Change change, long atMs, Facts evidence) {
    Alert alert =
        new Alert(
            "crate.cell-high.4",
            new AlertKey("crate", CellHigh.ID, 4),
            AlertState.RETURNED,
            Priority.CRITICAL,
            atMs,
            atMs,
            3690,
            3650,
            "mV",
            "Cell 4 high.",
            "",
            evidence,
            Optional.empty(),
            true);
    return new AlertEvent("crate.cell-high.4." + atMs, change, alert);
  }

  @Test
  void anActiveAlertIsToldByWhenItsFiguresWereTaken() {
    Scenario night = Scenarios.open("runaway");
    SimulatedRun run = new SimulatedRun(night, true).run(night.pollMs(), r -> {});

    List<AlertSpan> active =
        AlertSpan.of(run.events()).stream().filter(span -> span.toMs().isEmpty()).toList();

    assertThat(active).isNotEmpty();
    for (AlertSpan span : active) {
      assertThat(span.text(ZoneOffset.UTC))
          .contains("As of ")
          .doesNotContain("If nothing changes", "If this load goes on");
    }
  }

  @Test
  void aFrozenPackMayBeDrawnLower() {
    PackPlan plan = PackPlan.of("crate", Chemistry.LFP, 1, 1, 27_000);
    assertThat(cold(plan, 100))
        .contains("Cell 1 fell to 2.300 V, below the alert limit of 2.500 V");
    assertThat(cold(plan, -100)).doesNotContain("its limit");
  }

  private static String cold(PackPlan plan, int tenthC) {
    Tracks tracks = new Tracks(0, 480_000);
    for (long ms = 0; ms < 480_000; ms += 1000) {
      tracks.add(
          Reading.at(ms)
              .cells(CellVoltages.ofTenthMv(23_000))
              .temperatures(Temperatures.ofTenthC(tenthC))
              .build());
    }
    Made made = new Made(ZoneOffset.UTC, 480_000, "cellherd");
    ReportInput input = Nights.input(plan, tracks, ReportInput.Evidence.NONE, made);
    return String.join(" ", new Verdict(input).sentences());
  }
}
