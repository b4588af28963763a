package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A file whose logger counts discharge positive, brought in as it is and as what it is. */
class InvertedImportTest {
  private static final String PLAN =
      """
      [[pack]]
      id = "crate"
      chemistry = "lfp"
      series = 4
      parallel = 6
      rated_ah = 27
      charge_mv = 14_000
      """;

  @TempDir private Path folder;

  @Test
  void aFileThatCountsDischargePositiveIsToldAndCanBeBroughtInAsSuch() throws Exception {
    Files.writeString(folder.resolve("plan.toml"), PLAN);
    Path file = folder.resolve("discharge-positive.csv");
    Files.write(file, inverted());

    String wrong = run("import", "wrong.db", file.toString());
    String right = run("import", "right.db", "--discharge-positive", file.toString());

    assertThat(wrong).contains("Import into a new log with --discharge-positive.");
    assertThat(right).doesNotContain("sign");
    for (String verb : List.of("balance", "capacity", "resistance", "energy", "ageing")) {
      assertThat(run(verb, "wrong.db")).as(verb).startsWith("The current has the wrong sign");
      assertThat(run(verb, "right.db")).as(verb).doesNotContain("sign");
    }
  }

  private static List<String> inverted() {
    String text = Scenarios.text("capacity-test").orElseThrow().replace("poll_s = 1", "poll_s = 5");
    Scenario scenario = Scenario.read("s.toml", text, new Problems()).orElseThrow();
    List<String> lines = new ArrayList<>();
    for (String line : ScenarioCsv.lines(scenario, 4, ",temp_1_c")) {
      String[] columns = line.split(",", 3);
      String turned = columns[1].startsWith("-") ? columns[1].substring(1) : "-" + columns[1];
      lines.add(lines.isEmpty() ? line : columns[0] + "," + turned + "," + columns[2]);
    }
    return lines;
  }

  private String run(String verb, String log, String... more) {
    List<String> words = new ArrayList<>(List.of(verb));
    words.addAll(List.of("--plan", folder.resolve("plan.toml").toString()));
    words.addAll(List.of("--db", folder.resolve(log).toString()));
    words.addAll(List.of(more));
    return Said.whenDone(words);
  }
}
