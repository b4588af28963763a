package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.stream.Collectors;
import org.cellherd.Tools;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.app.Stop;
import org.cellherd.protocol.CsvLines;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class TesterCsvTest {

  private static final Map<String, String> GERMAN =
      Map.of("time", "Zeit", "volts", "Spannung", "amps", "Strom");

  /** Voltage falls straight from a to b under a constant current: charge and energy on paper. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
  void aDrawnFileComesToItsKnownIntegral(long seed) throws IOException {
    Random random = new Random(seed);
    boolean isComma = random.nextBoolean();
    boolean isPositive = random.nextBoolean();
    boolean isClock = random.nextBoolean();
    double amps = 0.5 + 20 * random.nextDouble();
    int seconds = 3600 + random.nextInt(20_000);
    int step = 1 + random.nextInt(30);
    int steps = seconds / step;
    StringBuilder text = new StringBuilder("nr;Zeit;Spannung;Strom\r\n");
    double charge = isPositive ? -2 : 2;
    double sign = isPositive ? 1 : -1;
    row(text, isClock, isComma, 0, 14.0, charge);
    for (int i = 0; i <= steps; i++) {
      row(text, isClock, isComma, 60 + i * step, 13.6 - 3.0 * i / steps, sign * amps);
    }
    row(text, isClock, isComma, 61 + steps * step, 12.0, 0);

    List<TestedDischarge> tests = read(text.toString(), GERMAN, 4, isPositive);

    double ah = amps * steps * step / 3600.0;
    // The last row, a second later, is at rest: half a second of the current more.
    double tail = amps * 0.5 / 3600;
    assertThat(tests).as("seed %d", seed).hasSize(1);
    TestedDischarge test = tests.get(0);
    assertThat(test.ah().mid()).isCloseTo(ah + tail, within(1e-4 * ah));
    assertThat(test.wh()).isCloseTo(ah * 12.1, within(5e-4 * ah * 12.1));
    assertThat(test.amps()).isCloseTo(amps, within(1e-3 * amps));
    assertThat(test.curve().end().volts() / 4).isCloseTo(10.6 / 4, within(1e-4));
  }

  private static void row(
      StringBuilder text, boolean isClock, boolean isComma, int s, double volts, double amps) {
    String time =
        isClock
            ? String.format(Locale.ROOT, "%d:%02d:%02d", s / 3600, s / 60 % 60, s % 60)
            : Integer.toString(s);
    String numbers = String.format(Locale.ROOT, "%.6f;%.6f", volts, amps);
    text.append("1;").append(time).append(';');
    text.append(isComma ? numbers.replace('.', ',') : numbers).append("\r\n");
  }

  @Test
  void aFileOfOurOwnNeedsNoNames() throws IOException {
    String text =
        """
        time,cell_1_v,cell_2_v,current_a
        2026-01-31T18:00:00Z,3.3,3.2,-2
        2026-01-31T19:00:00Z,3.1,3.0,-2
        2026-01-31T20:00:00Z,2.9,2.8,-2
        """;

    TestedDischarge test = read(text, Map.of(), 1, false).get(0);

    assertThat(test.ah().mid()).isCloseTo(4, within(1e-9));
    assertThat(test.wh()).isCloseTo(4 * 6.1, within(1e-9));
    assertThat(test.curve().series()).isEqualTo(2);
    assertThat(test.fromMs()).isEqualTo(1_769_882_400_000L);
  }

  @Test
  void whatIsWrongIsToldWithItsLine() {
    refused("", "is empty");
    refused("a;b\n1;2\n", "f.csv:1: there is no column \"Zeit\"; name it with --column time=NAME");
    refused("Zeit;Spannung;Strom\n0;x;1\n", "f.csv:2: \"x\" is not a voltage");
    refused("Zeit;Spannung;Strom\n0;3;-1\n-5;3;-1\n", "f.csv:3: the time goes back");
    refused("Zeit;Spannung;Strom\n0;3\n", "f.csv:2: has 2 columns");
    refused("Zeit;Spannung;Strom\n0;3;1\n9;3;1\n", "say --discharge-positive");
  }

  private static void refused(String text, String words) {
    assertThatThrownBy(() -> read(text, GERMAN, 1, false))
        .isInstanceOf(Stop.class)
        .hasMessageContaining(words);
  }

  @ParameterizedTest
  @ValueSource(longs = {11, 12, 13})
  void noBytesDoMoreThanBeRefused(long seed) {
    Random random = new Random(seed);
    String good = "Zeit;Spannung;Strom\n0;3,3;-1\n3600;3,2;-1\n7200;2,5;-1\n";
    for (int i = 0; i < 2_000; i++) {
      byte[] bytes = good.getBytes(StandardCharsets.UTF_8);
      for (int change = 0; change <= random.nextInt(8); change++) {
        bytes[random.nextInt(bytes.length)] = (byte) random.nextInt(256);
      }
      try (CsvLines lines = new CsvLines(new ByteArrayInputStream(bytes))) {
        TesterCsv.read("f.csv", lines, GERMAN, pack(1, false));
      } catch (Stop | IOException refused) {
        assertThat(refused.getMessage()).as("seed %d", seed).isNotNull();
      }
    }
  }

  /**
   * One 2 Ah LFP cell at C/20 and 1C, 25 degC (About:Energy, CC BY-SA 4.0): 2.0745 Ah and 6.750 Wh,
   * 1.9434 Ah and 6.024 Wh by trapezoids.
   */
  @ParameterizedTest
  @ValueSource(strings = {"C/20,2.0745,6.750", "1C,1.9434,6.024"})
  void openMeasurementsComeToTheirPublishedSums(String expected) throws IOException {
    Path file = Tools.openData().resolve("open/lfp_2ah_cc_discharge.csv");
    String[] want = expected.split(",");
    String text =
        Files.readAllLines(file).stream()
            .filter(l -> l.startsWith("test,") || l.startsWith(want[0] + ","))
            .collect(Collectors.joining("\n"));
    Map<String, String> named = Map.of("time", "t_s", "volts", "u_v", "amps", "i_a");

    TestedDischarge test = read(text, named, 1, false).get(0);

    double ah = Double.parseDouble(want[1]);
    double wh = Double.parseDouble(want[2]);
    assertThat(test.ah().mid()).isCloseTo(ah, within(0.002 * ah));
    assertThat(test.wh()).isCloseTo(wh, within(0.002 * wh));
  }

  private static List<TestedDischarge> read(
      String text, Map<String, String> named, int series, boolean isPositive) throws IOException {
    byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
    try (CsvLines lines = new CsvLines(new ByteArrayInputStream(bytes))) {
      return TesterCsv.read("f.csv", lines, named, pack(series, isPositive));
    }
  }

  private static TesterPack pack(int series, boolean isPositive) {
    return new TesterPack("f", series, OptionalDouble.empty(), isPositive);
  }
}
