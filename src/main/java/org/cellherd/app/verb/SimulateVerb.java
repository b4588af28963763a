package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.Decoders;
import org.cellherd.board.Link;
import org.cellherd.board.LinkAddress;
import org.cellherd.board.LinkException;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.protocol.CsvLines;
import org.cellherd.protocol.Decoder;
import org.cellherd.report.TextTable;
import org.cellherd.sim.BoardServer;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.TcpBoardServer;
import org.cellherd.toml.Problems;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
    name = "simulate",
    mixinStandardHelpOptions = true,
    header = "Plays an invented board on a serial device or TCP port.",
    description =
        "Plays the boards of a scenario at any speed until it is stopped, or with --log writes at "
            + "once the log that watching them would have given.")
final class SimulateVerb implements Callable<Integer> {

  @Mixin private AnswerOutput output;

  @Parameters(
      arity = "0..1",
      paramLabel = "SCENARIO",
      description = "Name of one that comes with the program, or your own file.")
  private @Nullable String name;

  @Option(names = "--list", description = "List the scenarios that come with the program.")
  private boolean list;

  @Option(names = "--link", paramLabel = "PATH", description = "Serial device to play on.")
  private @Nullable String link;

  @Option(
      names = "--tcp",
      paramLabel = "PORT",
      description = "TCP port to listen on; 0: any free one.")
  private @Nullable Integer tcp;

  @Option(
      names = "--modbus-tcp",
      description = "With --tcp: play a device that speaks Modbus TCP itself.")
  private boolean modbusTcp;

  @Option(
      names = "--log",
      paramLabel = "FILE",
      description =
          "Do not play: write what the boards of the scenario measured into a new log, at once, "
              + "and the plan of their packs beside it.")
  private @Nullable Path log;

  @Option(
      names = "--speed",
      paramLabel = "N",
      defaultValue = "1",
      description = "Simulated seconds per second; default 1.")
  private double speed;

  @Option(
      names = "--seed",
      paramLabel = "N",
      description = "Seed of the random numbers; default: the one in the scenario.")
  private @Nullable Long seed;

  @Option(
      names = "--record",
      paramLabel = "CSV",
      description = "Play recorded readings instead of a scenario, as the board of --spec.")
  private @Nullable Path record;

  @Option(names = "--spec", paramLabel = "SPEC", description = "Board description for --record.")
  private @Nullable String spec;

  @Option(
      names = "--address",
      paramLabel = "N",
      defaultValue = "1",
      description = "Address of the board for --record.")
  private int address;

  @Override
  public Integer call() throws InterruptedException, StorageFailure {
    if (list) {
      list();
      return ExitCode.DONE;
    }
    if (output.isJson()) {
      throw Stop.usage("--json answers with --list; a board that is played has none");
    }
    if (Stream.of(link, tcp, log).filter(Objects::nonNull).count() != 1) {
      throw Stop.usage("where to play: --link PATH or --tcp PORT, or --log FILE");
    }
    if (log != null) {
      return write(log);
    }
    if (tcp != null && (tcp < 0 || tcp > 65_535)) {
      throw Stop.usage("--tcp " + tcp + ", allowed 0 to 65535");
    }
    if (!(speed > 0 && speed <= 1e6)) {
      throw Stop.usage("--speed " + speed + ", allowed above 0 to 1000000");
    }
    SystemTime time = new SystemTime();
    if (record == null) {
      play(Played.scenario(scenario(), decoders(), time, speed), time);
      return ExitCode.DONE;
    }
    if (spec == null || name != null) {
      throw Stop.usage("--record CSV needs --spec SPEC, and no scenario beside it");
    }
    try (CsvLines lines = CsvSource.open(record)) {
      Decoder decoder = decoders().find(spec);
      Problems problems = new Problems();
      play(Played.record(record, lines, problems, decoder, address, time, speed), time);
      if (!problems.isEmpty()) {
        output.err().println("Left out of the record:\n" + problems);
      }
    } catch (IOException unreadable) {
      throw FileCause.unreadable(record, unreadable);
    }
    return ExitCode.DONE;
  }

  private void list() {
    List<Facts> scenarios = new ArrayList<>();
    TextTable table = new TextTable(0);
    for (String each : Scenarios.shipped()) {
      String title = Scenarios.open(each).title();
      scenarios.add(Facts.of().put("scenario", each).put("title", title).build());
      table.row(each, title);
    }
    if (output.isJson()) {
      output.json(scenarios);
    } else {
      table.lines().forEach(output::line);
    }
  }

  private int write(Path file) throws StorageFailure {
    if (record != null) {
      throw Stop.usage("--log needs a scenario; \"import\" brings in a --record");
    }
    FileCause.checkWritable(file);
    Scenario scenario = scenario();
    SimulatedLog simulated = new SimulatedLog(scenario, file);
    long stored = simulated.write();
    output.line(
        "%s in %s, the plan in %s"
            .formatted(Spoken.counted(stored, "simulated reading"), file, simulated.plan()));
    String pack = scenario.plans().get(0).id();
    output.line(
        "Next: cellherd report --db %s --plan %s --pack %s report.html"
            .formatted(file, simulated.plan(), pack));
    return ExitCode.DONE;
  }

  /** Descriptions beside the scenario's file, or in this folder. */
  private Decoders decoders() {
    return new Decoders(Path.of(name == null ? "scenario" : name));
  }

  private void play(Played played, SystemTime time) throws InterruptedException {
    if (modbusTcp && (tcp == null || !played.isModbusRtu())) {
      throw Stop.usage(
          "--modbus-tcp goes with --tcp PORT and a board of Modbus RTU, not " + played.spec());
    }
    try {
      if (tcp != null) {
        try (TcpBoardServer server = new TcpBoardServer(played.wire(), time, tcp, modbusTcp)) {
          say(played, (modbusTcp ? "modbus-tcp" : "tcp") + ":127.0.0.1:" + server.port());
          server.serve(played.goesOn());
        }
      } else {
        serve(played, time);
      }
    } catch (LinkException failed) {
      throw new Stop(ExitCode.LINK, String.valueOf(failed.getMessage()));
    }
  }

  private void serve(Played played, SystemTime time) throws LinkException, InterruptedException {
    LinkAddress.Parsed parsed = LinkAddress.parse(String.valueOf(link));
    Link port =
        parsed.address().orElseThrow(() -> Stop.usage("--link " + parsed.problem())).link(time);
    port.open(played.line());
    say(played, port.name());
    new BoardServer(played.wire(), time).serve(port, played.goesOn());
    port.close();
  }

  private void say(Played played, String where) {
    output
        .err()
        .println("playing \"" + played.title() + "\" on " + where + ", spec " + played.spec());
    output.err().flush();
  }

  private Scenario scenario() {
    if (name == null) {
      throw Stop.usage("which scenario? see: cellherd simulate --list");
    }
    return NamedScenario.open(name, seed);
  }
}
