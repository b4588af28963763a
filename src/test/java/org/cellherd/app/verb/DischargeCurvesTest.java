package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.EnumSet;
import java.util.List;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.app.ExitCode;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.TestCurves;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.pack.StorageFailure;
import org.cellherd.page.TestsView;
import org.cellherd.sim.Scenarios;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The picture by which a capacity test is read, of the shipped test at two rates. */
class DischargeCurvesTest {

  @TempDir private static Path folder;

  @BeforeAll
  static void twoTestsAreSimulated() throws IOException {
    String text =
        Scenarios.text("capacity-test").orElseThrow().replace("poll_s = 1", "poll_s = 10");
    Files.writeString(folder.resolve("tests.toml"), text);
    Said said = Said.by("simulate", path("tests.toml"), "--log", path("log.db"));
    assertThat(said.code()).as(said.err()).isEqualTo(ExitCode.DONE);
  }

  private static List<Finding> tests(LogFile file, PackConfig pack) throws StorageFailure {
    return new LogAnalysis(file.history(), pack).findings(EnumSet.of(FindingName.CAPACITY));
  }

  private static PackConfig planned(String name) {
    return PackConfig.of(
        ConfigFiles.loadPlans(folder.resolve(name)).packs().get(0).plan(), ZoneOffset.UTC);
  }

  /**
   * A figure allows for the error of the current that a line counts: read side by side, one lies.
   */
  @ParameterizedTest
  @ValueSource(ints = {0, 20, 90, 250})
  void aCurveEndsAtTheFigureBesideIt(int offsetMa) throws IOException, StorageFailure {
    String board = "zero_below_ma = 0\ncurrent_offset_ma = " + offsetMa;
    String text =
        Scenarios.text("capacity-test")
            .orElseThrow()
            .replace("poll_s = 1", "poll_s = 30")
            .replace("zero_below_ma = 200", board);
    Files.writeString(folder.resolve("off.toml"), text);
    String log = "off" + offsetMa;
    Said said = Said.by("simulate", path("off.toml"), "--log", path(log + ".db"));
    assertThat(said.code()).as(said.err()).isEqualTo(ExitCode.DONE);
    PackConfig pack = planned(log + ".toml");
    try (LogFile file = LogFile.open(folder.resolve(log + ".db"), OpenMode.READER)) {
      List<TestedDischarge> tests = TestCurves.of(file, pack, tests(file, pack));

      assertThat(tests).isNotEmpty();
      for (TestedDischarge test : tests) {
        assertThat(test.curve().end().ah()).isCloseTo(test.ah().mid(), within(1e-9));
        assertThat(test.curve().end().wh()).isCloseTo(test.wh(), within(1e-9));
      }
    }
  }

  @Test
  void eachCurveEndsWhereItsTestDoes() throws StorageFailure {
    PackConfig pack = planned("log.toml");
    try (LogFile file = LogFile.open(folder.resolve("log.db"), OpenMode.READER)) {
      List<Finding> found = tests(file, pack);
      List<TestedDischarge> tests = TestCurves.of(file, pack, found);

      assertThat(tests).hasSize(2);
      for (int i = 0; i < 2; i++) {
        double drawn = found.get(i).facts().number("drawn_ah").orElseThrow();
        // The test counts the steps before the first and after the last load, too.
        assertThat(tests.get(i).curve().end().ah()).isCloseTo(drawn, within(0.005 * drawn));
        assertThat(tests.get(i).curve().end().wh())
            .isCloseTo(tests.get(i).wh(), within(0.005 * tests.get(i).wh()));
        assertThat(tests.get(i).curve().end().cellVolts()).isCloseTo(2.5, within(0.03));
      }
      assertThat(tests.get(1).isAtAnotherRate(tests.get(0))).isTrue();
      assertThat(TestsView.of(pack.plan(), tests, ZoneOffset.UTC))
          .contains("20 Jun 2026, 5.4 A", "21 Jun 2026, 13.5 A", "cut-off 2.50 V")
          // The answer is read before the curves; what a dashed line is, is seen beside them.
          .containsPattern(
              "</h1><p class=\"headline\">21\\.\\d Ah at 5\\.4 A on 20 Jun 2026, of a rated 27 Ah;"
                  + " cell 2 ended it\\.</p>")
          .contains(">dashed: the cell that ended the test<");
    }
  }

  @Test
  void capacityDrawsBothRates() throws IOException {
    Said said =
        Said.by(
            "capacity",
            "--db",
            path("log.db"),
            "--plan",
            path("log.toml"),
            "--plot",
            path("c.svg"));

    assertThat(said.code()).as(said.err()).isEqualTo(ExitCode.DONE);
    String svg = Files.readString(folder.resolve("c.svg"));
    assertThat(svg)
        .contains(
            "Field crate", "A  20 Jun 2026, 5.4 A", "B  21 Jun 2026, 13.5 A", "ended it", "Wh")
        .doesNotContain("NaN");
  }

  @Test
  void aPictureOfAnotherKindIsRefusedBeforeTheLogIsRead() {
    Said said =
        Said.by(
            "capacity",
            "--db",
            path("log.db"),
            "--plan",
            path("log.toml"),
            "--plot",
            path("c.gif"));

    assertThat(said.code()).isEqualTo(ExitCode.USAGE);
    assertThat(said.err()).contains("must end in .svg or .png");
  }

  @Test
  void aReportBeginsWithTheCurvesOfATestOfItsTimeOnly() throws IOException {
    Said both =
        Said.by("report", "--db", path("log.db"), "--plan", path("log.toml"), path("two.html"));
    Said none =
        Said.by(
            "report",
            "--db",
            path("log.db"),
            "--plan",
            path("log.toml"),
            "--to",
            "2026-06-20T10:00",
            path("none.html"));

    assertThat(both.code()).as(both.err()).isEqualTo(ExitCode.DONE);
    assertThat(none.code()).as(none.err()).isEqualTo(ExitCode.DONE);
    String html = Files.readString(folder.resolve("two.html"));
    assertThat(html.indexOf("Discharge curves"))
        .isPositive()
        .isLessThan(html.indexOf("Herd strip"));
    assertThat(Files.readString(folder.resolve("none.html"))).doesNotContain("Discharge curves");
  }

  @Test
  void aLogAndATestersFileAreComparedSideBySide() throws IOException, JsonReader.Problem {
    Files.writeString(
        folder.resolve("old.csv"),
        "Zeit;U;I\n0:00:00;13,2;5\n1:00:00;13,0;5\n4:00:00;10,0;5\n".replace("4:00", "1:50"));

    Said said =
        Said.by(
            "compare",
            "crate=" + path("log.db"),
            "--donor",
            "old=" + path("old.csv"),
            "--column",
            "time=Zeit",
            "--column",
            "volts=U",
            "--column",
            "amps=I",
            "--discharge-positive",
            "--series",
            "4",
            "--parts-price",
            "crate=90",
            "--html",
            path("compared.html"),
            "--json");

    assertThat(said.code()).as(said.err()).isEqualTo(ExitCode.DONE);
    JsonValue all = new JsonReader(JsonReader.Limits.MESSAGE).read(said.out());
    assertThat(all.number("donors_wh").orElseThrow()).isCloseTo(113.4, within(0.1));
    assertThat(said.out()).contains("\"drop_mohm\"", "\"price_per_wh\"", "\"heat_wh\"");
    assertThat(Files.readString(folder.resolve("compared.html")))
        .contains("Power over energy drawn", "crate", "old, donor", "m\u03a9")
        .doesNotContain("NaN");
  }

  private static String path(String name) {
    return folder.resolve(name).toString();
  }
}
