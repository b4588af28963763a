package org.cellherd.app.command;

import java.io.IOException;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.cellherd.pack.Facts;

/**
 * One of the owner's programs, run once. No shell and no argument from outside: what happened is
 * told by environment variables only.
 *
 * @param table what its table of the config is called
 * @param command program and arguments
 * @param environment what the program learns
 */
public record CommandRun(String table, List<String> command, Map<String, String> environment) {

  private static final int LONGEST_RUN_S = 20;

  public CommandRun {
    command = List.copyOf(command);
    environment = Map.copyOf(environment);
  }

  /** Table and program, for people. */
  public String name() {
    return table + " " + command.get(0);
  }

  /** Runs it to its end, 20 s at most; empty when it ended with 0, else what went wrong. */
  public String trouble() throws InterruptedException {
    ProcessBuilder builder = new ProcessBuilder(command);
    builder.redirectErrorStream(true).redirectOutput(ProcessBuilder.Redirect.DISCARD);
    builder.environment().putAll(environment);
    try {
      Process process = builder.start();
      process.getOutputStream().close();
      if (!process.waitFor(LONGEST_RUN_S, TimeUnit.SECONDS)) {
        process.destroyForcibly();
        return "did not end in 20 s, stopped";
      }
      return process.exitValue() == 0 ? "" : "ended with " + process.exitValue();
    } catch (IOException cannotRun) {
      String why = String.valueOf(cannotRun.getMessage());
      return "cannot be run: " + why.replaceFirst("^Cannot run program .*error=\\d+, ", "");
    }
  }

  /** What came of it, as plain data. */
  public Facts facts(String trouble) {
    return Facts.of()
        .put("table", table)
        .put("program", command.get(0))
        .put("worked", trouble.isEmpty())
        .put("trouble", trouble)
        .build();
  }
}
