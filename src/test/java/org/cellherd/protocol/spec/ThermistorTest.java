package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.Tools;
import org.cellherd.protocol.spec.Thermistor.Table;
import org.junit.jupiter.api.Test;

class ThermistorTest {

  /** Fitted through 0, 25 and 60 degC of the published table of a 103AT part. */
  private static final Thermistor EQUATION =
      new Thermistor.SteinhartHart(8.874628e-4, 2.515199e-4, 1.919450e-7);

  private static List<List<String>> published() throws IOException {
    return Files.readAllLines(Tools.openData().resolve("standards/vectors/ntc_10k_tables.csv"))
        .stream()
        .skip(1)
        .map(line -> List.of(line.split(",")))
        .toList();
  }

  @Test
  void theEquationFollowsThePublishedTableWithinAFifthOfADegree() throws IOException {
    for (List<String> row : published()) {
      double celsius = Double.parseDouble(row.get(1));
      if (row.get(0).startsWith("103AT") && celsius >= -40 && celsius <= 110) {
        double ohm = Double.parseDouble(row.get(2));

        assertThat(EQUATION.celsius(ohm).orElseThrow()).isCloseTo(celsius, within(0.2));
        assertThat(EQUATION.ohm(EQUATION.celsius(ohm).orElseThrow()))
            .isCloseTo(ohm, within(ohm / 1e6));
      }
    }
  }

  @Test
  void everyPublishedTableIsFollowedWithinAFifthOfADegreeBetweenItsRows() throws IOException {
    List<List<String>> rows = published();
    List<String> parts = rows.stream().map(r -> r.get(0)).distinct().toList();
    int between = 0;
    for (String part : parts) {
      List<Table.Row> all = new ArrayList<>();
      for (List<String> row : rows) {
        if (row.get(0).equals(part)) {
          all.add(new Table.Row(Double.parseDouble(row.get(1)), Double.parseDouble(row.get(2))));
        }
      }
      Table whole = new Table(all);
      for (Table.Row row : all) {
        assertThat(whole.celsius(row.ohm()).orElseThrow()).isCloseTo(row.celsius(), within(0.001));
      }
      between += checkEachRowFromItsNeighbours(part, all);
    }
    assertThat(between).isGreaterThan(30);
  }

  /**
   * Leaves one row out and reads it from the rows around it, where these are 20 K apart at most.
   */
  private static int checkEachRowFromItsNeighbours(String part, List<Table.Row> all) {
    int checked = 0;
    for (int i = 1; i < all.size() - 1; i++) {
      Table.Row row = all.get(i);
      boolean near = all.get(i + 1).celsius() - all.get(i - 1).celsius() <= 20;
      if (near && row.celsius() >= -20 && row.celsius() <= 85) {
        Table neighbours = new Table(List.of(all.get(i - 1), all.get(i + 1)));
        assertThat(neighbours.celsius(row.ohm()).orElseThrow())
            .as("%s at %s", part, row.celsius())
            .isCloseTo(row.celsius(), within(0.2));
        checked++;
      }
    }
    return checked;
  }

  @Test
  void openAndShortSensorsAreNoReading() {
    Thermistor divider = new Thermistor.Divider(EQUATION, 10_000, 4096);
    Conversion conversion = divider.behind(Scaling.NONE);

    assertThat(conversion.toInside(4096)).isEmpty();
    assertThat(conversion.toInside(0)).isEmpty();
    assertThat(conversion.toInside(Double.NaN)).isEmpty();
    assertThat(conversion.toInside(2048).orElseThrow()).isCloseTo(250, within(0.5));
    assertThat(conversion.toNumber(250)).isCloseTo(2048, within(1.0));
  }

  @Test
  void outsideATableIsNoReading() {
    Table table = new Table(List.of(new Table.Row(0, 27280), new Table.Row(25, 10000)));

    assertThat(table.celsius(30_000)).isEmpty();
    assertThat(table.celsius(9_000)).isEmpty();
  }
}
