package org.cellherd.report;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.regex.MatchResult;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;
import org.cellherd.report.plot.Plots;
import org.cellherd.report.plot.Tracks;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** One report, one answer: sentence, plot and tables of drawn seasons add up to the same. */
class ReportTotalsTest {

  private static final long DAY = 24 * Nights.HOUR;
  private static final Pattern SENTENCE = Pattern.compile("On (\\d+) days ([0-9.]+) kWh went in");
  private static final Pattern PLOT = Pattern.compile("(\\d+) days: ([0-9.]+) kWh in");
  private static final Pattern ROW =
      Pattern.compile("<tr><th scope=\"row\">[^<]*<td class=\"n\">([0-9.]+)");

  /** A row of the table of energy: a day or month, then numbers. */
  private static final String TEXT_ROW =
      " *(\\d+ )?[A-Z][a-z]{2} \\d{4} {2,}[0-9.]+ {2,}[0-9.]+ {2,}.*";

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void sentencePlotAndTableTellTheSameDays(long seed) {
    Random random = new Random(seed);
    int days = 5 + random.nextInt(30);
    long midnight = Nights.EVENING - 17 * Nights.HOUR - days * DAY;
    long from = midnight + random.nextInt(24) * Nights.HOUR;
    List<Finding> found = new ArrayList<>();
    for (int day = 0; day < days; day++) {
      found.add(day(midnight + day * DAY, 500 + random.nextInt(4_000)));
    }
    ReportInput input = input(from, midnight + days * DAY, found);

    Matcher told = find(SENTENCE, TextReport.of(input));
    Matcher drawn =
        find(
            PLOT,
            Plots.ENERGY.scene(input.plots(), Plots.ENERGY.wide()).orElseThrow().description());
    String html = HtmlReport.of(input);
    List<Double> rows =
        ROW.matcher(html.substring(html.indexOf("id=\"found-energy\"")))
            .results()
            .map((MatchResult row) -> Double.valueOf(row.group(1)))
            .toList();

    assertThat(drawn.group(1)).as("seed %d", seed).isEqualTo(told.group(1));
    assertThat(drawn.group(2)).as("seed %d", seed).isEqualTo(told.group(2));
    assertThat(rows).as("seed %d", seed).hasSize(Integer.parseInt(told.group(1)));
    assertThat(
            TextReport.of(input)
                .lines()
                .filter(l -> l.matches(TEXT_ROW))
                .map(l -> l.strip().split(" {2,}")[1])
                .map(Double::valueOf)
                .toList())
        .as("seed %d", seed)
        .isEqualTo(rows);
    assertThat(rows.stream().mapToDouble(r -> r).sum())
        .isCloseTo(Double.parseDouble(told.group(2)), within(0.051 + 0.005 * days));
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void everyFullChargeThatIsCountedIsListed(long seed) {
    int count = 2 + new Random(seed).nextInt(70);
    long from = Nights.EVENING - count * DAY;
    List<Finding> found = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      found.add(day(from + i * DAY, 900));
      found.add(
          ResultForm.finding(
              FindingName.FULL_CHARGE,
              from + i * DAY + 9 * Nights.HOUR,
              from + i * DAY + 11 * Nights.HOUR,
              Facts.of().put("cell", 1 + i % 2).build(),
              "Full; cell " + (1 + i % 2) + " led."));
    }
    ReportInput input = input(from, Nights.EVENING, found);

    String html = HtmlReport.of(input);
    String listed = html.substring(html.indexOf("id=\"found-full-charge\""));
    assertThat(listed.split("Full; cell", -1).length - 1).as("seed %d", seed).isEqualTo(count);
    assertThat(TextReport.of(input).split("  Full; cell", -1).length - 1).isEqualTo(count);
  }

  /** The plot draws it pale: the table says the same. */
  @Test
  void aDayThatIsNotOverWasHeardInPart() {
    long midnight = Nights.EVENING - 17 * Nights.HOUR;
    List<Finding> found =
        List.of(day(midnight - DAY, 500), day(midnight, midnight + 6 * Nights.HOUR, 500));
    String html = HtmlReport.of(input(midnight - DAY, midnight + 6 * Nights.HOUR, found));
    String table = html.substring(html.indexOf("id=\"found-energy\""));

    assertThat(Pattern.compile("<td class=\"n\">(\\d+)</tr>").matcher(table).results())
        .extracting(row -> row.group(1))
        .containsExactly("100", "25");
  }

  /** Beside rows of months "charged: 0 Wh" would be read as that of all. */
  @Test
  void noFigureOfOneDayStandsBesideTheTableOfAll() {
    List<Finding> found = new ArrayList<>();
    for (int day = 0; day < 50; day++) {
      found.add(day(Nights.EVENING + day * DAY, 500));
    }
    ReportInput input = input(Nights.EVENING, Nights.EVENING + 50 * DAY, found);
    String html = HtmlReport.of(input);
    String energy = html.substring(html.indexOf("id=\"found-energy\""));

    assertThat(energy.substring(energy.indexOf("</table>")))
        .doesNotContain("<dt>charged<", "<dt>discharged<");
  }

  @Test
  void whatRoundsToNothingHasNoSign() {
    Tracks tracks = new Tracks(Nights.EVENING, Nights.EVENING + Nights.HOUR);
    for (int second = 0; second < 3_600; second++) {
      int lower = second % 6 == 0 ? 1 : 0;
      tracks.add(
          Reading.at(Nights.EVENING + second * 1_000L)
              .cells(CellVoltages.ofTenthMv(33_000 - lower, 33_000, 33_000 + lower))
              .build());
    }
    ReportInput input = Nights.input(Nights.PLAN, tracks, ReportInput.Evidence.NONE, Nights.MADE);

    assertThat(TextReport.of(input)).doesNotContain("-0.0", "+0.0");
    assertThat(HtmlReport.of(input)).doesNotContain("-0.0", "+0.0", "\u22120.0<");
  }

  private static Matcher find(Pattern pattern, String text) {
    Matcher matcher = pattern.matcher(text);
    assertThat(matcher.find()).as("%s in %s", pattern, text).isTrue();
    return matcher;
  }

  private static Finding day(long start, int wh) {
    return day(start, start + DAY, wh);
  }

  private static Finding day(long start, long end, int wh) {
    return ResultForm.finding(
        FindingName.ENERGY,
        start,
        end,
        Facts.of()
            .put("day", Nights.MADE.day(start))
            .put("charged_wh", wh)
            .put("charged_wh_low", wh - 10)
            .put("charged_wh_high", wh + 10)
            .put("discharged_wh", wh - 20)
            .put("coverage_pct", 100)
            .build(),
        "Charged.");
  }

  private static ReportInput input(long from, long to, List<Finding> found) {
    Tracks tracks = new Tracks(from, to);
    for (long at = from; at < to; at += Nights.HOUR) {
      tracks.add(Reading.at(at).cells(CellVoltages.ofMv(3_300, 3_301)).currentMa(1_000).build());
    }
    ReportInput.Evidence evidence =
        new ReportInput.Evidence(found, List.of(), List.of(), List.of(), true, List.of());
    return Nights.input(Nights.PLAN, tracks, evidence, Nights.MADE);
  }
}
