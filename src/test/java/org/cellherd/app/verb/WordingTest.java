package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.List;
import java.util.Optional;
import org.cellherd.app.ExitCode;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What the command line says to people. */
class WordingTest {

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "balnace --db x|unknown verb balnace, did you mean balance?",
        "xyzzyq|unknown verb xyzzyq",
        "spec lst|unknown verb lst of spec, did you mean list?",
        "balance --form 7d|unknown option --form of balance, did you mean --from?",
        "--verbos|unknown option --verbos, did you mean --verbose?",
        "report --format bmp|Invalid value for option '--format': \"bmp\", allowed: html, text,"
            + " svg, png",
        "alerts --cell x|Invalid value for option '--cell': \"x\" is not a whole number",
        "balance crate|cellherd balance: unexpected argument \"crate\"",
      })
  void unknownWordIsNamedWithTheOneProbablyMeant(String line, String expected) {
    StringWriter said = new StringWriter();
    PrintWriter err = new PrintWriter(said, true);

    String[] words = line.split(" ");
    int code = RootCommand.commandLine(words).setErr(err).execute(words);

    assertThat(code).isEqualTo(ExitCode.USAGE);
    assertThat(said.toString().lines().findFirst()).hasValue(expected);
  }

  /** The list of verbs shows the first line of each alone. */
  @Test
  void everyVerbIsListedByAWholeSentence() {
    assertThat(EveryVerb.all())
        .allSatisfy(
            verb ->
                assertThat(verb.getCommandSpec().usageMessage().description()[0])
                    .as(EveryVerb.words(verb))
                    .endsWith("."));
  }

  /** Whoever stands beside the charger sees a wrong sign at once. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "1500|13.240 V, charging at 1.500 A",
        "-30|13.240 V, discharging at 0.030 A",
        "0|13.240 V, no current (or less than the board shows)",
        "|13.240 V, no current reported",
      })
  void directionOfTheCurrentIsSaidInWords(@Nullable Integer milliamps, String expected) {
    Reading.Builder reading = Reading.at(0).packMv(13_240);
    if (milliamps != null) {
      reading.currentMa(milliamps);
    }

    assertThat(new ReadingText(Optional.empty()).of(reading.build(), List.of(), List.of()))
        .startsWith(expected + "\n");
  }

  @Test
  void temperatureIsOfASensorNotOfACell() {
    PackPlan plan = PackPlan.of("crate", Chemistry.LFP, 4, 1, 27_000);
    Reading reading = Reading.at(0).temperatures(Temperatures.ofTenthC(180)).build();

    assertThat(new ReadingText(Optional.of(plan)).of(reading, List.of(), List.of()))
        .contains("  sensor 1 (cell): 18.0 °C\n");
    assertThat(new ReadingText(Optional.empty()).of(reading, List.of(), List.of()))
        .contains("  sensor 1: 18.0 °C\n");
  }

  /** As in the strip of the page: cells within the band of a balanced pack have no long bar. */
  @ParameterizedTest
  @CsvSource({"33010, 1", "33100, 8", "33200, 15", "34500, 15"})
  void aBarIsLongOnlyWhereACellIsFarAway(int highest, int marks) {
    Reading reading =
        Reading.at(0).cells(CellVoltages.ofTenthMv(33_000, 33_000, 33_000, highest)).build();

    String said = new ReadingText(Optional.empty()).of(reading, List.of(), List.of());

    assertThat(said).contains("|" + "+".repeat(marks) + "\n").doesNotContain("+0.0");
  }

  /** A board of whole millivolts is given no digit that it does not send. */
  @ParameterizedTest
  @CsvSource({"33010, 3.301 V", "33015, 3.3015 V"})
  void aVoltageHasTheDigitsThatTheBoardSends(int tenthMv, String expected) {
    Reading reading = Reading.at(0).cells(CellVoltages.ofTenthMv(33_000, tenthMv)).build();

    assertThat(new ReadingText(Optional.empty()).of(reading, List.of(), List.of()))
        .contains("  cell  2  " + expected + " ");
  }
}
