package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.ReadingCsv;
import org.cellherd.protocol.ReadingCsvWriter;
import org.cellherd.sim.Scenarios;
import org.cellherd.store.codec.WildReadings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Drawn logs out and in again by the verbs, in every form that export writes. */
class CsvRoundTripTest {

  private static final String PLAN =
      "[[pack]]\nid = \"crate\"\nchemistry = \"lfp\"\nseries = 8\nparallel = 1\nrated_ah = 27\n";

  @TempDir private Path folder;

  private String[] words(String verb, String db, String... more) throws Exception {
    Path plan = folder.resolve("plan.toml");
    Files.writeString(plan, PLAN);
    List<String> words =
        new ArrayList<>(
            List.of(verb, "--db", folder.resolve(db).toString(), "--plan", plan.toString()));
    words.addAll(List.of(more));
    return words.toArray(new String[0]);
  }

  private Said said(String verb, String db, String... more) throws Exception {
    Said said = Said.by(words(verb, db, more));
    assertThat(said.code()).as(said.err()).isZero();
    return said;
  }

  @Test
  void aDrawnLogIsTheSameAfterEveryWayOutAndIn() throws Exception {
    for (int seed = 0; seed < 6; seed++) {
      List<Reading> readings = new WildReadings(seed).rising(1_700_000_000_000L, 400);
      ReadingCsv columns = ReadingCsv.of(64, 64);
      ReadingCsvWriter writer = new ReadingCsvWriter(columns);
      List<String> lines = new ArrayList<>(List.of(columns.headerLine()));
      readings.forEach(r -> lines.add(writer.line(r)));
      Path drawn = folder.resolve("drawn" + seed + ".csv");
      Files.write(drawn, lines);

      said("import", "a" + seed + ".db", "--anyway", drawn.toString());
      String first = said("export", "a" + seed + ".db").out();
      Path comma = folder.resolve("comma" + seed + ".csv");
      said("export", "a" + seed + ".db", "--decimal-comma", comma.toString());
      said("import", "b" + seed + ".db", "--anyway", comma.toString());

      String header = first.lines().findFirst().orElseThrow();
      assertThat(first.lines().count()).as("seed %d", seed).isEqualTo(401);
      assertThat(said("export", "b" + seed + ".db").out()).as("seed %d", seed).isEqualTo(first);
      ReadingCsv kept = ReadingCsv.of(64, 64);
      assertThat(header).as("seed %d", seed).startsWith("\"time\",current_a");
      assertThat(kept.columnCount()).isGreaterThan(header.split(",").length - 1);
    }
  }

  @Test
  void aSimulatedLogHoldsWhatTheBoardMeasuredAndSaysThatItIsSimulated() throws Exception {
    Path log = folder.resolve("night.db");
    Said done = Said.by("simulate", "first-night", "--log", log.toString());
    assertThat(done.code()).as(done.err()).isZero();
    String plan = folder.resolve("night.toml").toString();

    String csv = Said.whenDone(List.of("export", "--db", log.toString(), "--plan", plan));
    String notes = Said.whenDone(List.of("note", "--db", log.toString(), "--plan", plan));

    List<String> right = ScenarioCsv.lines(Scenarios.open("first-night"), 4, "");
    List<String> found = csv.lines().map(CsvRoundTripTest::measured).toList();
    assertThat(found).isEqualTo(right);
    assertThat(notes).contains("SIMULATED");
    assertThat(Said.by("simulate", "first-night", "--log", log.toString()).code()).isEqualTo(2);
    assertThat(Said.whenDone(List.of("balance", "--db", log.toString(), "--plan", plan)))
        .isNotBlank();
  }

  /** Time, current, pack and four cells: the first columns of an export. */
  private static String measured(String line) {
    return String.join(",", List.of(line.replace("\"", "").split(",", -1)).subList(0, 7));
  }

  @Test
  void aFileThatContradictsThePlanIsToldBeforeAnythingIsStored() throws Exception {
    String[][] wrong = {
      {"time,cell_1_v,cell_2_v", ",3331,3330", "millivolts"},
      {"time,pack_v", ",26640", "millivolts"},
      {"time,current_a", ",-12500", "milliamperes"},
      {"time,temp_1_c", ",294.1", "kelvin"},
      {"time,soc_pct", ",873", "tenths of a percent"},
      {
        "time,cell_1_v,cell_2_v,cell_3_v,cell_4_v,cell_5_v,cell_6_v,cell_7_v,cell_8_v,cell_9_v",
        ",3.3".repeat(9),
        "9 cells"
      },
    };
    for (String[] file : wrong) {
      StringBuilder text = new StringBuilder(file[0] + "\n");
      for (int i = 10; i < 50; i++) {
        text.append("2026-01-31T18:").append(i).append(":00Z").append(file[1]).append('\n');
      }
      Path csv = folder.resolve("wrong.csv");
      Files.writeString(csv, text.toString());

      Said said = Said.by(words("import", "w.db", csv.toString()));

      assertThat(said.code()).as(file[0]).isEqualTo(2);
      assertThat(said.err()).as(file[0]).contains(file[2]).contains("Nothing was stored");
      assertThat(folder.resolve("w.db")).doesNotExist();
    }
  }
}
