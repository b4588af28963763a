package org.cellherd.app.verb;

import java.io.IOException;
import java.io.Writer;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.TimeUnit;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.Decoders;
import org.cellherd.board.BoardListener;
import org.cellherd.board.BoardOnLine;
import org.cellherd.board.CaptureWriter;
import org.cellherd.board.CapturingLink;
import org.cellherd.board.LineClock;
import org.cellherd.board.LinePoller;
import org.cellherd.board.Link;
import org.cellherd.board.LinkAddress;
import org.cellherd.board.LinkException;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.LineSettings;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
    name = "capture",
    mixinStandardHelpOptions = true,
    header = "Records the raw bytes of a line.",
    description =
        "With --spec it asks the board as \"run\" would; without, it only listens, to a board "
            + "that talks by itself or to another program's traffic.")
final class CaptureVerb implements Callable<Integer> {

  private static final String NOTHING_CAME =
      "nothing came: is the link right, does the board talk by itself, or must it be asked"
          + " (--spec)?";

  @Mixin private Output output;

  @Option(
      names = "--link",
      required = true,
      paramLabel = "LINK",
      description = "Port path, tcp:, modbus-tcp: or rfc2217:HOST:PORT.")
  private String link;

  @Option(names = "--spec", paramLabel = "SPEC", description = "A description's id or file.")
  private @Nullable String spec;

  @Option(
      names = "--address",
      paramLabel = "N",
      defaultValue = "1",
      description = "Address on the line.")
  private int address;

  @Option(names = "--baud", paramLabel = "N", description = "Speed of the line.")
  private @Nullable Integer baud;

  @Option(
      names = "--seconds",
      paramLabel = "N",
      defaultValue = "60",
      description = "How long; default ${DEFAULT-VALUE}.")
  private int seconds;

  @Parameters(
      paramLabel = "FILE",
      description =
          "The capture: JSON Lines, one chunk of bytes a line; an existing one is continued.")
  private Path target;

  private String trouble = "";

  @Override
  public Integer call() throws InterruptedException {
    SystemTime time = new SystemTime();
    LinkAddress.Parsed parsed = LinkAddress.parse(link);
    Link line =
        parsed.address().orElseThrow(() -> Stop.usage("--link " + parsed.problem())).link(time);
    long until = time.monotonicNanos() + TimeUnit.SECONDS.toNanos(seconds);
    try (Writer out = new CaptureFile(target).append()) {
      CaptureWriter writer = new CaptureWriter(out, link, time::wallMs);
      try (Link recorded = new CapturingLink(line, writer)) {
        if (spec == null) {
          listen(recorded, time, until);
        } else {
          poll(recorded, time, until);
        }
      }
      writer
          .problem()
          .ifPresent(
              p -> {
                throw new Stop(ExitCode.STORE, target + ": " + p);
              });
      String told = Spoken.counted(writer.chunks(), "chunk") + " added to " + target + "; ";
      if (writer.received() == 0) {
        throw new Stop(ExitCode.LINK, trouble.isEmpty() ? told + NOTHING_CAME : trouble);
      }
      String next = spec == null ? "frames " : "spec test " + spec + " ";
      output.err().println(told + "next: cellherd " + next + target);
    } catch (LinkException failed) {
      throw new Stop(ExitCode.LINK, String.valueOf(failed.getMessage()));
    } catch (IOException cannot) {
      throw FileCause.unwritable(target, cannot);
    }
    return ExitCode.DONE;
  }

  private LineSettings settings(LineSettings described) {
    return baud == null
        ? described
        : new LineSettings(baud, described.dataBits(), described.parity(), described.stopBits());
  }

  private void listen(Link recorded, SystemTime time, long until) throws LinkException {
    recorded.open(settings(LineSettings.DEFAULT));
    byte[] buffer = new byte[4096];
    while (time.monotonicNanos() < until) {
      recorded.read(buffer, 100);
    }
  }

  private void poll(Link recorded, SystemTime time, long until)
      throws LinkException, InterruptedException {
    Decoder decoder = new Decoders(Path.of("cellherd.toml")).find(String.valueOf(spec));
    Ear ear = new Ear();
    LinePoller poller =
        new LinePoller(
            recorded,
            List.of(BoardOnLine.alone(decoder.dialogue(address), settings(decoder.line()))),
            LineClock.of(time),
            ear);
    while (time.monotonicNanos() < until) {
      poller.step();
    }
    output
        .err()
        .println(
            Spoken.counted(poller.counts(BoardOnLine.ALONE).answered(), "reading") + " understood");
  }

  /** Hears only what is wrong with the line: the bytes are what is wanted. */
  private final class Ear implements BoardListener {
    @Override
    public void heard(String pack, LogEntry entry) {}

    @Override
    public void note(String pack, String text) {
      trouble = text;
      System.getLogger("org.cellherd.capture").log(System.Logger.Level.WARNING, text);
    }
  }
}
