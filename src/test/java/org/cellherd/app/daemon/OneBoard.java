package org.cellherd.app.daemon;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.sim.Scenarios;

/** A simulated board by TCP in a process of its own, and the config of a program that polls it. */
final class OneBoard {
  private static final Pattern LINK = Pattern.compile("tcp:127\\.0\\.0\\.1:\\d+");

  private OneBoard() {}

  /**
   * Starts a board of four cells and waits until it listens; its scenario is made to outlast the
   * test on a computer that is ten times as slow.
   */
  static Program start(Path folder, String scenario, String... more)
      throws IOException, InterruptedException {
    String text = Scenarios.text(scenario).orElseThrow();
    Path file =
        Files.writeString(
            folder.resolve(scenario + ".toml"), text.replaceFirst("hours = \\d+", "hours = 240"));
    List<String> simulate = new ArrayList<>(List.of("simulate", file.toString(), "--tcp", "0"));
    simulate.addAll(List.of(more));
    Program board = Program.start(folder, simulate.toArray(String[]::new));
    board.awaitText("tcp:127.0.0.1:");
    return board;
  }

  /** Where it listens, as the config names it. */
  static String link(Program board) {
    Matcher link = LINK.matcher(board.text());
    if (!link.find()) {
      throw new IllegalStateException("no link told:\n" + board.text());
    }
    return link.group();
  }

  /** Writes the config; {@code tables} are further ones, as {@code [page]}, or nothing. */
  static void config(Path folder, String link, String tables) throws IOException {
    Files.writeString(
        folder.resolve("cellherd.toml"),
        """
        site = "bench"
        [store]
        file = "log.db"
        at_risk_s = 1
        %s
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 6
        rated_ah = 27
        [pack.line]
        spec = "sorrel-16"
        link = "%s"
        poll_s = 0.2
        """
            .formatted(tables, link));
  }
}
