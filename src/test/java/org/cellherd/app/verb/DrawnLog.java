package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.toml.Problems;

/**
 * A log of two invented packs, drawn: days of a shed with a leaking cell, and two capacity tests of
 * a crate; with gaps, and with a board whose own state of charge is anything.
 */
final class DrawnLog {
  private static final String PLAN =
      """
      zone = "Europe/Berlin"
      [[pack]]
      id = "shed"
      chemistry = "lfp"
      series = 16
      parallel = 1
      rated_ah = 100
      charge_mv = 55_600
      sensors = ["cell", "cell", "switch"]
      [[pack]]
      id = "crate"
      chemistry = "lfp"
      series = 4
      parallel = 6
      rated_ah = 27
      charge_mv = 14_000
      """;

  private final Path folder;
  private final Random random;

  private final List<String> importing;

  /** Draws a log and imports it into a folder, with further words of that verb. */
  DrawnLog(Path folder, long seed, String... importing) throws IOException {
    this.folder = folder;
    this.importing = List.of(importing);
    this.random = new Random(seed);
    Files.writeString(folder.resolve("plan.toml"), PLAN);
    String leak =
        "\n[[fault]]\nkind = \"leak\"\ncell = \"any\"\nma_per_ah = %.2f\n"
            .formatted(0.3 + random.nextDouble());
    String shed =
        Scenarios.text("offgrid-season")
            .orElseThrow()
            .replace("hours = 2160", "hours = " + (48 + random.nextInt(60)))
            .replace("poll_s = 10", "poll_s = 60")
            .replaceFirst("\nseed = \\d+", "\nseed = " + random.nextInt(9_999));
    take("shed", shed + leak, 16, ",temp_1_c,temp_2_c,temp_3_c", 1 + random.nextInt(4));
    String crate =
        Scenarios.text("capacity-test")
            .orElseThrow()
            .replace("poll_s = 1", "poll_s = 5")
            .replaceFirst("\nseed = \\d+", "\nseed = " + random.nextInt(9_999));
    take("crate", crate, 4, ",temp_1_c", random.nextInt(2));
  }

  private void take(String pack, String scenario, int cells, String others, int gaps)
      throws IOException {
    Scenario read = Scenario.read(pack + ".toml", scenario, new Problems()).orElseThrow();
    List<String> lines = new ArrayList<>(ScenarioCsv.lines(read, cells, others));
    for (int gap = 0; gap < gaps; gap++) {
      int from = 1 + random.nextInt(lines.size() - 2);
      lines.subList(from, Math.min(lines.size(), from + 20 + random.nextInt(300))).clear();
    }
    int said = 20 + random.nextInt(60);
    lines.replaceAll(line -> line + (line.startsWith("time") ? ",soc_pct" : "," + said));
    Files.write(folder.resolve(pack + ".csv"), lines);
    List<String> words = new ArrayList<>(importing);
    words.addAll(List.of("--pack", pack, folder.resolve(pack + ".csv").toString()));
    run("import", words.toArray(new String[0]));
  }

  /** What a verb says of the log. */
  String run(String verb, String... more) {
    List<String> words = new ArrayList<>(List.of(verb));
    words.addAll(List.of("--plan", folder.resolve("plan.toml").toString()));
    words.addAll(List.of("--db", folder.resolve("log.db").toString()));
    words.addAll(List.of(more));
    return Said.whenDone(words);
  }

  /** The report of all that the log holds of a pack. */
  String report(String pack, String format) throws IOException {
    Path file = folder.resolve(pack + "." + format);
    run("report", "--pack", pack, "--from", "2026-01-01", "--format", format, file.toString());
    return Files.readString(file);
  }
}
