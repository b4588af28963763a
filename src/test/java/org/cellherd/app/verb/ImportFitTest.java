package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import org.cellherd.app.ExitCode;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * What is wrong with a file's rows is told before any is stored, wherever in the file it stands.
 */
class ImportFitTest {
  private static final Instant PAST = Instant.parse("2001-02-03T04:05:06Z");

  @TempDir private Path folder;

  @BeforeEach
  void writePlan() throws IOException {
    Files.writeString(
        folder.resolve("plan.toml"),
        "[[pack]]\nid = \"crate\"\nchemistry = \"lfp\"\nseries = 4\nparallel = 6\nrated_ah = 27\n");
  }

  private Said imported(String... options) {
    List<String> words = new ArrayList<>(List.of("import"));
    words.addAll(List.of("--plan", folder.resolve("plan.toml").toString()));
    words.addAll(List.of("--db", folder.resolve("log.db").toString()));
    words.addAll(List.of(options));
    words.add(folder.resolve("rows.csv").toString());
    return Said.by(words.toArray(new String[0]));
  }

  /** Rows without anything, in one of which, drawn, something else stands. */
  private void write(int rows, Random random, String columns, String drawn) throws IOException {
    List<String> lines = new ArrayList<>();
    for (int i = 0; i < rows; i++) {
      lines.add(PAST.plusSeconds(i) + ",".repeat(columns.split(",").length));
    }
    int one = random.nextInt(rows);
    lines.set(one, drawn.startsWith(",") ? PAST.plusSeconds(one) + drawn : drawn);
    lines.add(0, "time," + columns);
    Files.write(folder.resolve("rows.csv"), lines);
  }

  private int stored() throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.READER)) {
      List<Object> entries = new ArrayList<>();
      log.history().replay("crate", Long.MIN_VALUE, Long.MAX_VALUE, entries::add);
      return entries.size();
    }
  }

  /** Whoever reads that rows are missing needs to know how to bring them in. */
  @Test
  void rowsOutOfOrderAreBroughtInByAFileThatIsSorted() throws IOException, StorageFailure {
    List<String> rows = new ArrayList<>();
    for (int i = 0; i < 50; i++) {
      rows.add(PAST.plusSeconds(i) + ",13.1");
    }
    List<String> shuffled = new ArrayList<>(rows);
    Collections.shuffle(shuffled, new Random(5));
    shuffled.add(0, "time,pack_v");
    rows.add(0, "time,pack_v");

    Files.write(folder.resolve("rows.csv"), shuffled);
    assertThat(imported().out())
        .contains("rows not stored: older than a row before; sort the file by time and import it");
    Files.write(folder.resolve("rows.csv"), rows);
    imported();

    assertThat(stored()).isGreaterThanOrEqualTo(50);
    Files.writeString(folder.resolve("rows.csv"), "time,pack_v\n");
    assertThat(imported().out())
        .contains("0 readings stored: the file has no row below its header");
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void wrongUnitsAndStrangeCellsAreFoundWhereverTheyStand(long seed) throws IOException {
    String cells = "cell_1_v,cell_2_v,cell_3_v,cell_4_v,cell_5_v";
    for (String[] file :
        new String[][] {
          {cells, ",3331,3330,3329,3334,", "millivolts"},
          {cells, ",3.331,3.330,3.329,3.334,3.331", "5 cells"},
          {"current_a", ",12500", "milliamperes"},
        }) {
      write(1 + new Random(seed).nextInt(5000), new Random(seed), file[0], file[1]);

      Said said = imported();

      assertThat(said.code()).as("seed %d, %s", seed, said.err()).isEqualTo(2);
      assertThat(said.err()).contains(file[2], "Nothing was stored");
      assertThat(folder.resolve("log.db")).doesNotExist();
    }
  }

  /** In a log of its own they harm nobody: a simulated year, a population of packs. */
  @ParameterizedTest
  @ValueSource(longs = {4, 5, 6})
  void aRowLaterThanNowIsToldWithItsTime(long seed) throws Exception {
    write(1 + new Random(seed).nextInt(5000), new Random(seed), "pack_v", "2099-05-06T07:08:09Z,");

    Said said = imported();

    assertThat(said.err())
        .as("seed %d", seed)
        .contains("1 row is later than now, up to 6 May 2099 ", "--zone", "redate");
    assertThat(said.code()).isZero();
    assertThat(stored()).isPositive();
  }

  /** There it would stand before all that is read from now on. */
  @ParameterizedTest
  @ValueSource(longs = {7, 8, 9})
  void theLogOfAWatchedPackTakesNoRowLaterThanNow(long seed) throws Exception {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      log.writer().append("crate", new SessionStart(PAST.toEpochMilli(), 1, true, true));
      log.writer().commit();
    }
    write(1 + new Random(seed).nextInt(5000), new Random(seed), "pack_v", "2099-05-06T07:08:09Z,");

    Said said = imported();

    assertThat(said.code()).as("seed %d, %s", seed, said.err()).isEqualTo(2);
    assertThat(said.err()).contains("1 row is later than now", "Nothing was stored");
    assertThat(stored()).isOne();
    assertThat(imported("--anyway").code()).isZero();
    assertThat(stored()).isGreaterThan(1);
  }

  @Test
  void rowsOfThePastAreNotToldAsLater() throws IOException {
    write(100, new Random(1), "pack_v", ",13.3");

    assertThat(imported().err()).doesNotContain("later");
  }

  @Test
  void whereAllRowsAreRefusedNoneIsSaidToBeStored() throws Exception {
    Files.writeString(
        folder.resolve("rows.csv"), "time,pack_v\n2026-01-01 10:00:00,13.2\nyesterday,13.2\n");

    Said said = imported();

    assertThat(said.code()).isEqualTo(ExitCode.USAGE);
    assertThat(said.out()).contains("0 readings stored", "2 rows refused");
    assertThat(said.err()).contains("rows.csv:2", "rows.csv:3").doesNotContain("stored");
    assertThat(stored()).isZero();
  }

  /** Rows without anything, as many as are looked at together and some more, then another one. */
  private int writeLong(Random random, byte[] last) throws IOException {
    StringBuilder lines = new StringBuilder("time,cell_1_v\n");
    int rows = ImportRows.AT_A_TIME + 1 + random.nextInt(3000);
    for (int i = 0; i < rows; i++) {
      lines.append(PAST.plusSeconds(i)).append(",\n");
    }
    Files.writeString(folder.resolve("rows.csv"), lines);
    Files.write(folder.resolve("rows.csv"), last, StandardOpenOption.APPEND);
    return rows;
  }

  /** What fitted stays; what is mended and brought in again follows it. */
  @ParameterizedTest
  @ValueSource(longs = {10, 11})
  void whereALongFileTurnsWrongNothingFromThereIsStored(long seed) throws Exception {
    Instant after = PAST.plusSeconds(100_000);
    int rows = writeLong(new Random(seed), (after + ",3331\n").getBytes(StandardCharsets.UTF_8));
    String line = "before line " + (ImportRows.AT_A_TIME + 2);

    Said said = imported();

    assertThat(said.code()).as("seed %d, %s", seed, said.err()).isEqualTo(2);
    assertThat(said.err()).contains("millivolts", "Only the rows " + line + " were stored");
    assertThat(said.out()).contains(ImportRows.AT_A_TIME + " readings stored");
    assertThat(stored()).isEqualTo(ImportRows.AT_A_TIME);

    writeLong(new Random(seed), (after + ",3.331\n").getBytes(StandardCharsets.UTF_8));
    assertThat(imported().code()).isZero();
    assertThat(stored()).isEqualTo(rows + 1);
  }

  @ParameterizedTest
  @ValueSource(longs = {12, 13})
  void whereALongFileEndsInOtherBytesWhatCameBeforeIsStored(long seed) throws Exception {
    writeLong(new Random(seed), new byte[] {(byte) 0xc3, '(', '\n'});

    Said said = imported();

    assertThat(said.code()).as("seed %d, %s", seed, said.err()).isEqualTo(2);
    assertThat(said.err())
        .contains("is no UTF-8 text", "before line " + (ImportRows.AT_A_TIME + 2));
    assertThat(stored()).isEqualTo(ImportRows.AT_A_TIME);
  }

  /**
   * Volts, in which a false value stands alone here and there, up to a drawn row, and millivolts
   * from it.
   */
  private static int turn(Path file, Random random) throws IOException {
    StringBuilder lines = new StringBuilder("time,cell_1_v\n");
    int right = 1 + random.nextInt(3 * ImportRows.AT_A_TIME);
    int wrong = 2 + random.nextInt(2 * ImportRows.AT_A_TIME);
    for (int i = 0; i < right + wrong; i++) {
      boolean isFalse = i < right - 1 && random.nextInt(1000) == 0;
      lines.append(PAST.plusSeconds(i)).append(isFalse || i >= right ? ",3331\n" : ",3.331\n");
    }
    Files.writeString(file, lines);
    return right;
  }

  /** However few rows the file goes on for, and however many right ones stand before. */
  @ParameterizedTest
  @ValueSource(longs = {14, 15, 16, 17, 18, 19, 20, 21})
  void noRowBehindAChangeOfUnitIsStored(long seed) throws Exception {
    int right = turn(folder.resolve("rows.csv"), new Random(seed));

    Said said = imported();

    assertThat(said.code()).as("seed %d, %d right: %s", seed, right, said).isEqualTo(2);
    assertThat(said.err()).contains("are these millivolts?");
    int stored = Files.exists(folder.resolve("log.db")) ? stored() : 0;
    assertThat(stored).isLessThanOrEqualTo(right);
    assertThat(said.err())
        .contains(
            stored == 0
                ? "Nothing was stored"
                : "Only the rows before line " + (stored + 2) + " were stored");
  }

  /** The rows right before and behind it are right. */
  @ParameterizedTest
  @ValueSource(longs = {22, 23, 24})
  void aFalseValueThatStandsAloneRefusesNoFile(long seed) throws Exception {
    Random random = new Random(seed);
    StringBuilder lines = new StringBuilder("time,cell_1_v,temp_1_c\n");
    int rows = ImportRows.AT_A_TIME + 1 + random.nextInt(ImportRows.AT_A_TIME);
    for (int i = 0; i < rows; i++) {
      boolean isFalse = (rows - i) % 2 == 1 && (random.nextInt(9) == 0 || i == rows - 1);
      String warm = i % 9000 == 0 ? (i == 18_000 ? "6553.5" : "21.5") : "";
      lines.append(PAST.plusSeconds(i)).append(isFalse ? ",65.5," : ",3.331,");
      lines.append(warm).append('\n');
    }
    Files.writeString(folder.resolve("rows.csv"), lines);

    Said said = imported();

    assertThat(said.code()).as("seed %d: %s", seed, said).isZero();
    assertThat(stored()).isEqualTo(rows);
  }
}
