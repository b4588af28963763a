package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.app.ExitCode;
import org.cellherd.pile.CellsFile;
import org.cellherd.pile.Unit;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A rig's log comes into the pile without typing: simulated nights as a rig. */
class PileFromLogTest {

  @TempDir private static Path folder;

  @BeforeAll
  static void logsAreImported() throws IOException {
    log("capacity-test", 4, "[\"a1\"], [\"a2\"], [\"a3\"], [\"b1\", \"b2\"]", 12, 10);
    log(
        "shelf-rest",
        8,
        "[\"1\"],[\"2\"],[\"3\"],[\"4\"],[\"5\"],[\"6\"],[\"7\"],[\"8\"]",
        120,
        60);
  }

  private static void log(String scenario, int series, String cells, int hours, int pollS)
      throws IOException {
    Files.writeString(
        folder.resolve(scenario + ".toml"),
        "[[pack]]\nid = \"rig\"\nchemistry = \"lfp\"\nseries = %d\nparallel = 6\nrated_ah = 27\ncells = [%s]\n"
            .formatted(series, cells));
    String text =
        Scenarios.text(scenario)
            .orElseThrow()
            .replaceFirst("(?m)^hours = .*", "hours = " + hours)
            .replaceFirst("(?m)^step_s = .*\n", "")
            .replaceFirst("(?m)^poll_s = .*", "step_s = 10\npoll_s = " + pollS);
    Scenario played = Scenario.read(scenario, text, new Problems()).orElseThrow();
    Path csv =
        Files.write(
            folder.resolve(scenario + ".csv"), ScenarioCsv.lines(played, series, ",temp_1_c"));
    Said.whenDone(with(scenario, "import", csv.toString()));
  }

  private static List<String> with(String scenario, String... words) {
    List<String> all = new ArrayList<>(List.of(words));
    all.addAll(List.of("--plan", folder.resolve(scenario + ".toml").toString()));
    all.addAll(List.of("--db", folder.resolve(scenario + ".db").toString()));
    return all;
  }

  private static List<Unit> units(Path file) throws IOException {
    Problems problems = new Problems();
    List<Unit> units = CellsFile.read(file.toString(), Files.readAllLines(file), problems);
    assertThat(problems.toString()).isEmpty();
    return units;
  }

  @Test
  void theUnitThatWasEmptyFirstHasACapacityAndTheOthersAtLeastSo() throws IOException {
    Path out = folder.resolve("from-test.csv");

    String said = Said.whenDone(with("capacity-test", "pile", "--out", out.toString()));

    assertThat(said).contains("cell 4: b1, b2: measured together");
    List<Unit> units = units(out);
    assertThat(units).extracting(Unit::id).containsExactly("a1", "a2", "a3");
    assertThat(units.stream().filter(u -> u.capacity().isPresent()).count()).isLessThan(2);
    assertThat(units)
        .allSatisfy(
            u -> {
              assertThat(u.capacities()).hasSize(1);
              assertThat(u.capacities().get(0).ah()).isBetween(20.0, 23.0);
              assertThat(u.ratedAh()).hasValue(27);
            });
  }

  @Test
  void whatTheOwnerWroteStaysAndASecondTimeIsRefused() throws IOException {
    Path typed =
        Files.writeString(
            folder.resolve("typed.csv"),
            "# my pile\nid;donor;remarks;rest_1_v;rest_1_at\n3;red;\"a; b\";3,31;2020-01-01\n");
    Path out = folder.resolve("more.csv");
    Said.whenDone(with("shelf-rest", "pile", typed.toString(), "--out", out.toString()));

    List<String> lines = Files.readAllLines(out);
    assertThat(lines.get(0)).isEqualTo("# my pile");
    assertThat(lines.get(2)).startsWith("3;red;\"a; b\";3,31;2020-01-01;3,");
    Unit three = units(out).get(0);
    assertThat(three.remarks()).isEqualTo("a; b");
    assertThat(three.rests()).hasSize(2);
    assertThat(three.rests().get(1).mv()).isBetween(3250.0, 3400.0);
    assertThat(units(out)).hasSize(8);

    Said again =
        Said.by(
            with(
                    "shelf-rest",
                    "pile",
                    out.toString(),
                    "--out",
                    folder.resolve("twice.csv").toString())
                .toArray(new String[0]));
    assertThat(again.code()).isEqualTo(ExitCode.USAGE);
    assertThat(again.err()).contains("are they in it already?", "not later than");
  }
}
