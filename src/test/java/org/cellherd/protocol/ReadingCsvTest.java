package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ReadingCsvTest {

  private final Problems problems = new Problems();

  private ReadingCsvReader reader(String header) {
    ReadingCsv columns = ReadingCsv.ofHeader("a.csv", header, false, problems).orElseThrow();
    return new ReadingCsvReader("a.csv", columns, problems);
  }

  @Test
  void everyColumnIsRead() {
    Reading reading =
        reader(
                "time,current_a,pack_v,cell_1_v,cell_2_v,temp_1_c,soc_pct,bleed_mask,charge_switch,"
                    + "discharge_switch,board_ah,board_alarms")
            .read(2, "2026-01-01T01:00:00+01:00,-12.5,53.36,3.3312,,-5.1,87.3,2,1,0,101.25,4\r")
            .orElseThrow();

    assertThat(reading)
        .isEqualTo(
            Reading.at(1767225600000L)
                .currentMa(-12_500)
                .packMv(53_360)
                .cells(CellVoltages.ofTenthMv(33_312))
                .temperatures(Temperatures.ofTenthC(-51))
                .socTenthPct(873)
                .bleedMask(2)
                .chargeSwitch(true)
                .dischargeSwitch(false)
                .boardMah(101_250)
                .boardAlarms(4)
                .build());
    assertThat(problems.isEmpty()).isTrue();
  }

  @Test
  void unknownColumnIsNamedWithASuggestion() {
    assertThat(ReadingCsv.ofHeader("a.csv", "time,cell_1_mv,colour", false, problems)).isEmpty();

    assertThat(problems.sorted().stream().map(Object::toString).toList())
        .containsExactly(
            "a.csv:1 cell_1_mv: unknown column, did you mean cell_1_v?",
            "a.csv:1 colour: unknown column, allowed: current_a, pack_v, cell_N_v, temp_N_c,"
                + " soc_pct, bleed_mask, charge_switch, discharge_switch, board_ah, board_alarms");
  }

  @Test
  void unknownColumnsCanBeIgnored() {
    ReadingCsv columns =
        ReadingCsv.ofHeader("a.csv", "colour,time,pack_v", true, problems).orElseThrow();

    Optional<Reading> reading =
        new ReadingCsvReader("a.csv", columns, problems).read(2, "red,2026-01-01T00:00:00Z,13.1");

    assertThat(reading.orElseThrow().packMv()).hasValue(13_100);
  }

  @Test
  void headerWithoutTimeOrWithAColumnTwiceIsRefused() {
    ReadingCsv.ofHeader("a.csv", "pack_v,pack_v", false, problems);

    assertThat(problems.toString())
        .isEqualTo(
            "a.csv:1 pack_v: this column is there twice\n"
                + "a.csv:1: the column time is missing; the first line must name the columns");
  }

  /** Each field of a row would be another unknown column. */
  @Test
  void aRowInPlaceOfTheHeaderIsOneMistake() {
    ReadingCsv.ofHeader("a.csv", "2026-01-01T00:00:00Z,1.2,3.301,3.302", true, problems);

    assertThat(problems.toString())
        .isEqualTo(
            "a.csv:1: only unknown columns; the first line must name the columns, such as"
                + " time,current_a,cell_1_v");
  }

  @Test
  void tabsBetweenColumnsAreNamed() {
    ReadingCsv.ofHeader("a.csv", "time\tpack_v", false, problems);

    assertThat(problems.toString())
        .isEqualTo("a.csv:1: tabs separate the columns; separate them by commas or semicolons");
  }

  @Test
  void wrongRowsAreRefusedWithTheirLine() {
    ReadingCsvReader reader = reader("time,pack_v,charge_switch");
    List<String> rows =
        List.of(
            "yesterday,13.1,1",
            "2026-01-01T00:00:00Z,13 V,1",
            "2026-01-01T00:00:00Z,13.1,2",
            "2026-01-01T00:00:00Z,99999999999,1",
            "2026-01-01T00:00:00Z,13.1",
            "2026-01-01T00:00:00Z,13.1,1,7",
            "2026-02-30T00:00:00Z,13.1,1",
            "2026-01-01T00:00:00,13.1,1");
    for (int i = 0; i < rows.size(); i++) {
      assertThat(reader.read(i + 2, rows.get(i))).isEmpty();
    }

    assertThat(reader.counts().refused()).isEqualTo(rows.size());
    assertThat(problems.sorted().get(1).toString())
        .isEqualTo("a.csv:3 pack_v: is \"13 V\", allowed: a number such as -12.5, or nothing");
    assertThat(problems.sorted().get(4).toString())
        .isEqualTo("a.csv:6: has 2 columns, the header has 3");
  }

  @Test
  void digitsBeyondTheResolutionAreRoundedAndCounted() {
    ReadingCsvReader reader = reader("time,cell_1_v,temp_1_c");

    Reading reading = reader.read(2, "2026-01-01T00:00:00.0005Z,3.33125,-5.0500000").orElseThrow();

    assertThat(reading.cells().tenthMv(1)).isEqualTo(33_313);
    assertThat(reading.temperatures().tenthC(1)).isEqualTo(-51);
    assertThat(reader.counts().beyondResolution()).isEqualTo(3);
  }

  @Test
  void trailingZerosAreNoLoss() {
    ReadingCsvReader reader = reader("time,cell_1_v");

    reader.read(2, "2026-01-01T00:00:00Z,3.3312000");

    assertThat(reader.counts().beyondResolution()).isZero();
  }

  @Test
  void rowsOutOfOrderAndDoubledAreCounted() {
    ReadingCsvReader reader = reader("time,pack_v");

    reader.read(2, "2026-01-01T00:00:02Z,1");
    reader.read(3, "2026-01-01T00:00:02Z,1");
    reader.read(4, "2026-01-01T00:00:01Z,1");

    assertThat(reader.counts().doubled()).isEqualTo(1);
    assertThat(reader.counts().outOfOrder()).isEqualTo(1);
    assertThat(reader.counts().rows()).isEqualTo(3);
  }

  @Test
  void whatIsWrittenIsReadBackUnchanged() {
    ReadingCsv columns = ReadingCsv.of(16, 4);
    ReadingCsvWriter writer = new ReadingCsvWriter(columns);
    ReadingCsvReader reader = reader(columns.headerLine());
    for (int seed = 0; seed < 2000; seed++) {
      Reading reading = RandomReadings.any(new Random(seed), 16, 4);

      String line = writer.line(reading);

      assertThat(reader.read(seed + 2, line)).as("seed %d: %s", seed, line).contains(reading);
    }
    assertThat(reader.counts().beyondResolution()).isZero();
  }

  /** Other programs write such times where they know none; a small computer's clock does not. */
  @ParameterizedTest
  @CsvSource({
    "0001-01-01T00:00:00Z, false",
    "1969-12-30T23:59:59Z, false",
    "1970-01-01T00:00:00+14:00, true",
    "2066-01-01T00:00:00Z, true",
    "2106-02-07T06:28:15Z, true",
    "2106-02-07T06:28:16Z, false",
    "9999-12-31T23:59:59.999+00:00, false",
  })
  void aTimeThatNoClockShowsIsNone(String time, boolean isTaken) {
    ReadingCsvReader reader = reader("time,pack_v");

    assertThat(reader.read(2, time + ",13.2").isPresent()).isEqualTo(isTaken);
    assertThat(problems.toString().contains("which no clock shows")).isEqualTo(!isTaken);
  }

  @Test
  void aRowWithAnotherSeparatorThanTheHeaderIsToldAsThat() {
    for (String row :
        List.of("2026-01-01T00:00:00Z;3,310;3,320", "2026-01-01T00:00:00Z\t3.31\t3.32")) {
      Problems problems = new Problems();
      ReadingCsv columns =
          ReadingCsv.ofHeader("f.csv", "time,cell_1_v,cell_2_v", false, problems).orElseThrow();
      ReadingCsvReader reader = new ReadingCsvReader("f.csv", columns, problems);

      assertThat(reader.read(2, row)).isEmpty();

      assertThat(problems.sorted()).singleElement().asString().contains("separate", "header");
    }
  }
}
