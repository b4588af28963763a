package org.cellherd.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.StringReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.regex.Pattern;
import javax.xml.parsers.DocumentBuilderFactory;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.report.plot.Plots;
import org.cellherd.report.plot.Tracks;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Markup;
import org.cellherd.report.scene.PngWriter;
import org.cellherd.report.scene.Shape;
import org.cellherd.report.scene.SvgWriter;
import org.cellherd.report.scene.Theme;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.xml.sax.InputSource;

class HtmlReportTest {

  private static final Path LOOK_AT = Path.of("target", "report-pictures");

  private static String keep(String name, String text) throws Exception {
    Files.createDirectories(LOOK_AT);
    Files.writeString(LOOK_AT.resolve(name), text);
    return text;
  }

  @Test
  void firstNightTellsVerdictPlotsAlertsAndGaps() throws Exception {
    String html = keep("night.html", HtmlReport.of(Nights.first()));

    // No line ends between a figure and its unit.
    assertThat(html)
        .contains("Cell 5 is 0.8\u00a0Ah ahead; about 9\u00a0h to balance, 7 to 13.")
        .contains("In the plots numbers mark <a href=\"#alerts\">alerts</a> and letters mark")
        .contains("3 alerts (1 critical, 1 warning, 1 note)")
        .contains("Coverage 97.2 % of the time")
        .contains("id=\"herd\"", "id=\"cells\"", "id=\"current\"", "id=\"temperature\"")
        .contains("href=\"#alert-2\"", "id=\"alert-2\"", "<strong>First:</strong> Lower the")
        .contains("No readings: 3 Mar 2026 22:59 to 23:20 (20 min)")
        .contains("9 h (7 to 13)")
        // On a phone names have no numbers: they would stand on the cells' lines.
        .contains(">knee 3.400\u00a0V<", ">knee<")
        .contains("Damaged, swollen, punctured");
  }

  @Test
  void seasonStaysBelowTwoMegabytes() throws Exception {
    String html = keep("season.html", HtmlReport.of(Nights.season()));

    assertThat(html.getBytes(StandardCharsets.UTF_8)).hasSizeLessThan(2_000_000);
    assertThat(html)
        .contains("88.4 % of the time")
        .contains(
            "On 182 days 180.3\u00a0kWh went in and 158.3\u00a0kWh came out; no full charge was seen.")
        .contains("<th scope=\"row\">Nov 2025", "<dt>charged less discharged in 7 days</dt>");
  }

  @Test
  void howANumberWasGotStandsBesideIt() {
    assertThat(HtmlReport.of(Nights.first())).contains(Markup.text(FindingName.BALANCE.method()));
  }

  @Test
  void everyCautionStandsInEveryReport() {
    String html = HtmlReport.of(Nights.first());
    String text = TextReport.of(Nights.first());

    assertThat(Cautions.LIST)
        .hasSize(5)
        .allSatisfy(caution -> assertThat(html).contains("<li>" + Markup.text(caution) + "</li>"))
        .allSatisfy(caution -> assertThat(text).contains(caution));
  }

  @Test
  void nothingIsFetchedAndHostileNamesAreText() {
    String html = HtmlReport.of(Nights.first());

    assertThat(html)
        .doesNotContain("<script", "http://", "https://", "<2>", " src=", "@import", "url(")
        .contains("Radio crate &lt;2&gt; &amp; &quot;co&quot;")
        .contains("default-src 'none'");
  }

  @Test
  void everyMarkAndCaptionHasANameAndEveryTargetExists() {
    String html = HtmlReport.of(Nights.first());

    Pattern.compile("href=\"#([^\"]+)\"")
        .matcher(html)
        .results()
        .forEach(link -> assertThat(html).contains("id=\"" + link.group(1) + "\""));
    int figures = html.split("<svg ", -1).length - 1;
    assertThat(html.split("<title id=", -1).length - 1).isEqualTo(figures);
    assertThat(Pattern.compile(" id=\"([^\"]+)\"").matcher(html).results().map(m -> m.group(1)))
        .doesNotHaveDuplicates();
  }

  /** A letter whose list is elsewhere tells nobody anything. */
  @ParameterizedTest
  @EnumSource(Plots.class)
  void aPlotThatStandsAloneHasNoMarkWithoutItsList(Plots plot) {
    ReportInput input = holding(plot);
    Drawing scene = plot.scene(input.plots().alone(), plot.wide()).orElseThrow();

    assertThat(scene.shapes()).noneMatch(Shape.Link.class::isInstance);
  }

  /** The first plot shows what the first sentence says. */
  @Test
  void theStripStandsBeforeWhatDaysCameTo() {
    String html = HtmlReport.of(Nights.season());

    assertThat(html.indexOf("id=\"herd\"")).isBetween(0, html.indexOf("id=\"energy\""));
  }

  @ParameterizedTest
  @EnumSource(Plots.class)
  void everyPlotIsWellFormedSvgAndAPicture(Plots plot) throws Exception {
    ReportInput input = holding(plot);
    for (Theme theme : Theme.values()) {
      Drawing scene = plot.scene(input.plots(), plot.wide()).orElseThrow();
      String svg = SvgWriter.file(scene, theme);
      String name = plot.word() + "-" + theme.name().toLowerCase(Locale.ROOT);
      keep(name + ".svg", svg);
      Files.write(LOOK_AT.resolve(name + ".png"), PngWriter.bytes(scene, theme, 1.5));

      DocumentBuilderFactory.newInstance()
          .newDocumentBuilder()
          .parse(new InputSource(new StringReader(svg)));
      assertThat(svg).doesNotContain("NaN", "Infinity");
    }
  }

  private static ReportInput holding(Plots plot) {
    return switch (plot) {
      case ENERGY, RANGE, LEADS, CAPACITY, RESISTANCE -> new DrawnSeason(7, true).input();
      case DISCHARGE -> Nights.tests();
      default -> Nights.first();
    };
  }

  /** Over charge there is no time at which a note could stand. */
  @ParameterizedTest
  @EnumSource(value = Plots.class, mode = EnumSource.Mode.EXCLUDE, names = "DISCHARGE")
  void anOwnersNoteStandsOnEveryPlot(Plots plot) {
    ReportInput input = holding(plot);

    String svg = SvgWriter.file(plot.scene(input.plots(), plot.wide()).orElseThrow(), Theme.LIGHT);

    assertThat(svg).contains("note a: Charger set to 56.8 V &lt;script&gt;");
  }

  @Test
  void whatNobodyJudgedIsNotCalledFreeOfAlerts() {
    ReportInput.Evidence imported =
        new ReportInput.Evidence(List.of(), List.of(), List.of(), List.of(), false, List.of());
    ReportInput input =
        Nights.input(
            Nights.PLAN,
            new Tracks(Nights.EVENING, Nights.EVENING + Nights.HOUR),
            imported,
            Nights.MADE);

    assertThat(HtmlReport.of(input)).contains(">Alerts: not in the log</a>");
    assertThat(HtmlReport.of(input)).doesNotContain("Alerts: none");
  }

  @Test
  void anEmptyLogIsAReportToo() {
    ReportInput empty =
        Nights.input(
            Nights.PLAN,
            new Tracks(Nights.EVENING, Nights.EVENING + Nights.HOUR),
            ReportInput.Evidence.NONE,
            Nights.MADE);

    assertThat(HtmlReport.of(empty))
        .contains("The log holds no readings of this time.", "0.0 % of the time");
    assertThat(TextReport.of(empty)).contains("No alert was raised");
    assertThat(HtmlReport.of(empty)).contains(">Alerts: none</a>");
  }

  @Test
  void textReportSaysTheSame() throws Exception {
    String text = keep("night.txt", TextReport.of(Nights.first()));

    assertThat(text)
        .contains("Cell 5 is 0.8 Ah ahead")
        .contains("critical  4 Mar 2026 02:00 to 4 Mar 2026 03:00")
        .contains("first step: Lower the charge current or voltage.")
        .contains("97.2 % of the time");
  }

  @Test
  void sensorsAreNamedByWhatTheyTouch() {
    ReportInput night = Nights.first();
    PackPlan plan =
        PackPlan.builder("crate", Chemistry.LFP, 16, 1, 100_000)
            .sensors(List.of(PackPlan.SensorRole.CELL, PackPlan.SensorRole.SWITCH))
            .build();
    ReportInput input = Nights.input(plan, night.tracks(), night.evidence(), night.made());

    Drawing scene = Plots.TEMPERATURE.scene(input.plots(), Plots.TEMPERATURE.wide()).orElseThrow();

    assertThat(
            scene.shapes().stream()
                .filter(s -> s instanceof Shape.Words w && w.letter().bold())
                .map(s -> ((Shape.Words) s).text()))
        .contains("cells", "switch");
    assertThat(scene.description()).contains("Sensors: cells, switch.");
  }
}
