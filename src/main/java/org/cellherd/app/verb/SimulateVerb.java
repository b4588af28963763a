package org.cellherd.app.verb;

import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.FileText;
import org.cellherd.board.Link;
import org.cellherd.board.LinkAddress;
import org.cellherd.board.LinkException;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Specs;
import org.cellherd.sim.BoardServer;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.SimulatedBoard;
import org.cellherd.sim.SpeedClock;
import org.cellherd.sim.TcpBoardServer;
import org.cellherd.toml.Problems;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code cellherd simulate}. */
@Command(
    name = "simulate",
    mixinStandardHelpOptions = true,
    description = {
      "Plays the boards of a scenario on a serial device or a TCP port, at any speed,",
      "until it is stopped."
    })
final class SimulateVerb implements Callable<Integer> {

  @Mixin private Output output;

  @Parameters(
      arity = "0..1",
      paramLabel = "SCENARIO",
      description = "Name of one that comes with the program, or your own file.")
  private @Nullable String name;

  @Option(names = "--list", description = "List the scenarios that come with the program.")
  private boolean list;

  @Option(names = "--link", paramLabel = "PATH", description = "Serial device to play on.")
  private @Nullable String link;

  @Option(names = "--tcp", paramLabel = "PORT", description = "TCP port of this machine; 0 = any.")
  private @Nullable Integer tcp;

  @Option(
      names = "--speed",
      paramLabel = "N",
      defaultValue = "1",
      description = "Simulated seconds in a second.")
  private double speed;

  @Option(names = "--seed", paramLabel = "N", description = "Instead of the scenario's own.")
  private @Nullable Long seed;

  @Override
  public Integer call() throws InterruptedException {
    if (list) {
      for (String each : Scenarios.shipped()) {
        output.line(String.format("%-20s %s", each, Scenarios.open(each).title()));
      }
      return ExitCode.DONE;
    }
    if ((link == null) == (tcp == null)) {
      throw new Stop(ExitCode.USAGE, "where to play: --link PATH or --tcp PORT");
    }
    if (!(speed > 0 && speed <= 1e6)) {
      throw new Stop(ExitCode.USAGE, "--speed " + speed + ", allowed above 0 to 1000000");
    }
    Scenario scenario = scenario();
    SystemTime time = new SystemTime();
    SpeedClock clock = new SpeedClock(time, scenario.startMs(), speed);
    SimulatedBoard board = new SimulatedBoard(scenario, scenario.rig(), Specs::find, clock);
    String first = board.rig().packs().get(0).decoder();
    LineSettings settings = Specs.find(first).map(Decoder::line).orElse(LineSettings.DEFAULT);
    try {
      if (tcp != null) {
        try (TcpBoardServer server = new TcpBoardServer(board, time, tcp)) {
          say(scenario, "tcp:127.0.0.1:" + server.port(), first);
          server.serve(() -> clock.getAsLong() < scenario.endMs());
        }
      } else {
        serve(scenario, time, clock, board, settings, first);
      }
    } catch (LinkException failed) {
      throw new Stop(ExitCode.LINK, String.valueOf(failed.getMessage()));
    }
    return ExitCode.DONE;
  }

  private void serve(
      Scenario scenario,
      SystemTime time,
      SpeedClock clock,
      SimulatedBoard board,
      LineSettings settings,
      String spec)
      throws LinkException, InterruptedException {
    LinkAddress.Parsed parsed = LinkAddress.parse(String.valueOf(link));
    Link port =
        parsed
            .address()
            .orElseThrow(() -> new Stop(ExitCode.USAGE, "--link " + parsed.problem()))
            .link(time);
    port.open(settings);
    say(scenario, port.name(), spec);
    new BoardServer(board, time).serve(port, () -> clock.getAsLong() < scenario.endMs());
    port.close();
  }

  private void say(Scenario scenario, String where, String spec) {
    output.err().println("playing \"" + scenario.title() + "\" on " + where + ", spec " + spec);
    output.err().flush();
  }

  private Scenario scenario() {
    if (name == null) {
      throw new Stop(ExitCode.USAGE, "which scenario? see: cellherd simulate --list");
    }
    Scenario scenario;
    if (name.endsWith(".toml")) {
      Problems problems = new Problems();
      scenario =
          Scenario.read(name, FileText.read(Path.of(name)), problems)
              .filter(s -> problems.isEmpty())
              .orElseThrow(() -> new Stop(ExitCode.USAGE, problems.toString()));
    } else if (Scenarios.shipped().contains(name)) {
      scenario = Scenarios.open(name);
    } else {
      throw new Stop(
          ExitCode.USAGE,
          "no scenario \"" + name + "\"; there is " + String.join(", ", Scenarios.shipped()));
    }
    return seed == null ? scenario : scenario.withSeed(seed);
  }
}
