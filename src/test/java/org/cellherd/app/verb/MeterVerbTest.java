package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.app.ExitCode;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.RepetitionInfo;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A meter's readings go into the log, and what the board has wrong comes out. */
class MeterVerbTest {

  private static final Instant START = Instant.parse("2026-03-01T00:00:00Z");

  @TempDir private Path folder;

  /** Five hours of a load that changes each ten minutes, printed by a board with these errors. */
  private void log(double offsetA, double gain, SplittableRandom random) throws IOException {
    Files.writeString(
        folder.resolve("plan.toml"),
        """
        zone = "UTC"
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 6
        rated_ah = 27
        """);
    List<String> rows = new ArrayList<>();
    rows.add("time,current_a,cell_1_v,cell_2_v,cell_3_v,cell_4_v");
    double load = 0;
    for (int s = 0; s <= 5 * 3600; s += 10) {
      load = s % 600 == 0 ? trueA(s) : load;
      rows.add(
          String.format(
              Locale.ROOT,
              "%s,%.2f,3.300,3.301,3.299,3.300",
              START.plusSeconds(s),
              gain * load + offsetA + random.nextDouble(-0.004, 0.004)));
    }
    Files.write(folder.resolve("rows.csv"), rows);
    assertThat(cellherd("import", folder.resolve("rows.csv").toString()).code())
        .isEqualTo(ExitCode.DONE);
  }

  /** What flows: one hour of nothing, then 1 to 9 A out. */
  private static double trueA(int second) {
    return second < 3600 ? 0 : -(1 + second / 60 * 7 % 9);
  }

  private Said cellherd(String verb, String... more) {
    List<String> words = new ArrayList<>(List.of(verb));
    words.addAll(List.of("--db", folder.resolve("log.db").toString()));
    words.addAll(List.of("--plan", folder.resolve("plan.toml").toString()));
    words.addAll(Arrays.asList(more));
    return Said.by(words.toArray(new String[0]));
  }

  @RepeatedTest(12)
  void aClampAtRestAndACounterUnderLoadFindOffsetAndGain(RepetitionInfo run) throws IOException {
    SplittableRandom random = new SplittableRandom(run.getCurrentRepetition() * 15_485_863L);
    double offsetA = random.nextDouble(-0.09, 0.09);
    double gain = 1 + random.nextDouble(-0.019, 0.019);
    log(offsetA, gain, random);
    double trueAh = 0;
    for (int s = 3600; s < 18_000; s += 10) {
      trueAh += trueA(s - s % 600) / 360;
    }

    cellherd("meter", "--current", "0", "--accuracy", "10 mA", "--at", "2026-03-01T00:30");
    cellherd(
        "meter",
        "--charge",
        String.format(Locale.ROOT, "%.4f", trueAh * (1 + random.nextDouble(-0.004, 0.004))),
        "--accuracy",
        "0.5 %",
        "--from",
        "2026-03-01T01:00",
        "--to",
        "2026-03-01T05:00");

    String said = cellherd("meter").out();
    double[] found = numbers(said, "offset (\\S+) to (\\S+) A, gain (\\S+) to (\\S+) \\(");
    assertThat(offsetA).as(said).isBetween(found[0], found[1]);
    assertThat(gain).as(said).isBetween(found[2], found[3]);
    assertThat(found[1] - found[0]).as(said).isLessThan(0.05);
    assertThat(found[3] - found[2]).as(said).isLessThan(0.025);
  }

  private static double[] numbers(String said, String pattern) {
    Matcher m = Pattern.compile(pattern).matcher(said);
    assertThat(m.find()).as(said).isTrue();
    double[] numbers = new double[m.groupCount()];
    for (int i = 0; i < numbers.length; i++) {
      numbers[i] = Double.parseDouble(m.group(i + 1).replace('\u2212', '-'));
    }
    return numbers;
  }

  /** An hour of rest and four of load: what the offset leaves open of the count is narrowed. */
  @Test
  void theStateOfChargeIsToldWithAndWithoutTheReadings() throws IOException {
    log(0.05, 1, new SplittableRandom(4));
    cellherd("meter", "--current", "0", "--accuracy", "10 mA", "--at", "2026-03-01T00:30");

    Matcher said =
        Pattern.compile(
                "State of charge now: (\\d+) to (\\d+) %; by the board alone (\\d+) to (\\d+) %")
            .matcher(cellherd("meter").out());
    assertThat(said.find()).isTrue();
    int with = Integer.parseInt(said.group(2)) - Integer.parseInt(said.group(1));
    int without = Integer.parseInt(said.group(4)) - Integer.parseInt(said.group(3));
    assertThat(with).isLessThan(without);
    assertThat(cellherd("meter", "--json").out()).contains("\"estimate\"", "board_alone_low");
  }

  @Test
  void aReadingIsCorrectedAndWithdrawnAndTheLogKeepsWhatItSaid() throws IOException {
    log(0, 1, new SplittableRandom(1));
    cellherd("meter", "--cell", "3=3.320", "--accuracy", "2 mV", "--at", "2026-03-01T02:00");

    assertThat(cellherd("meter").out())
        .contains("1  1 Mar 2026 02:00:00  cell 3 3.32 V \u00b1 0.002", "21 mV higher");
    cellherd("meter", "--correct", "1", "--cell", "3=3.300", "--accuracy", "2 mV");
    assertThat(cellherd("meter").out()).contains("cell 3 3.3 V", "taken as it is");
    cellherd("meter", "--withdraw", "1");

    assertThat(cellherd("meter").out()).startsWith("No reading of a meter.");
    assertThat(cellherd("note").out()).contains("cell 3 3.32 V", "withdrawn", "corrected");
  }

  @Test
  void aReadingThatTheLogDoesNotReachCountsForNothingAndSaysSo() throws IOException {
    log(0, 1, new SplittableRandom(2));

    cellherd("meter", "--current", "4", "--accuracy", "1 %", "--at", "2026-02-01T02:00");

    assertThat(cellherd("meter").out())
        .contains("so that it does not count")
        .doesNotContain("Current sensor");
  }

  @Test
  void whatCannotBeAReadingIsRefusedWithWhatWouldBeRight() throws IOException {
    log(0, 1, new SplittableRandom(3));

    assertRefused("accuracy", "--current", "4");
    assertRefused("0.5 % + 0.02 A", "--current", "4", "--accuracy", "2 mV");
    assertRefused("4 cells", "--cell", "5=3.3", "--accuracy", "1 %");
    assertRefused("from 1", "--cell", "0=3.3", "--accuracy", "1 %");
    assertRefused("one quantity", "--current", "4", "--voltage", "13", "--accuracy", "1 %");
    assertRefused("--from and --to", "--charge", "4", "--accuracy", "1 %");
    assertRefused("--at", "--current", "4", "--accuracy", "1 %", "--from", "2h", "--to", "1h");
    assertRefused("future", "--current", "4", "--accuracy", "1 %", "--at", "2190-01-01");
    assertRefused(
        "--cell: 3410.0 V is out of reach, at most 10 V: give it in V",
        "--cell",
        "2=3410",
        "--accuracy",
        "1 %");
    assertRefused("--voltage: 13320.0 V is out", "--voltage", "13320", "--accuracy", "1 %");
    assertRefused("--current: \u22124200.0 A is out", "--current", "-4200", "--accuracy", "1 %");
    assertRefused("--temperature: 291.0 degC", "--temperature", "1=291", "--accuracy", "1 C");
    assertRefused("no reading 7", "--withdraw", "7");
    assertThat(cellherd("meter").out()).startsWith("No reading of a meter.");
  }

  private void assertRefused(String why, String... words) {
    Said said = cellherd("meter", words);
    assertThat(said.code()).as(said.err()).isEqualTo(ExitCode.USAGE);
    assertThat(said.err()).contains(why);
  }
}
