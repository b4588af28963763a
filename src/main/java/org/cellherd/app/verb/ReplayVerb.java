package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.cellherd.alert.AlertEvent;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.LineConfig;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.PackWatch;
import org.cellherd.board.BoardListener;
import org.cellherd.board.BoardOnLine;
import org.cellherd.board.capture.CaptureChunk;
import org.cellherd.board.capture.CaptureProblem;
import org.cellherd.board.capture.CaptureReader;
import org.cellherd.board.capture.CaptureReplay;
import org.cellherd.json.IsoTime;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Decoder;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code cellherd replay}. */
@Command(
    name = "replay",
    mixinStandardHelpOptions = true,
    header = "Decodes a capture again and judges it.",
    description =
        "By the capture's own clock, as \"run\" would: what would have been found and "
            + "alerted. Stores and publishes nothing.")
final class ReplayVerb implements Callable<Integer> {

  @Mixin private ConfigOption config;
  @Mixin private Output output;

  @Option(
      names = "--link",
      paramLabel = "LINK",
      description = "Which line of the config it was; else the only one.")
  private @Nullable String link;

  @Parameters(paramLabel = "CAPTURE", description = "The capture.")
  private Path source;

  @Override
  public Integer call() {
    Config loaded = config.load();
    List<PackConfig> packs =
        loaded.packs().stream()
            .filter(p -> p.line().isPresent())
            .filter(p -> link == null || p.line().map(LineConfig::link).equals(Optional.of(link)))
            .toList();
    if (packs.isEmpty()) {
      throw new Stop(ExitCode.USAGE, "no pack of the config is on that line");
    }
    Judge judge = new Judge(packs.stream().map(PackWatch::new).toList());
    CaptureReplay replay = new CaptureReplay(boards(packs, loaded), judge);
    try (CaptureReader reader = CaptureReader.open(source)) {
      for (Optional<CaptureChunk> chunk = reader.next(); chunk.isPresent(); chunk = reader.next()) {
        replay.take(chunk.get());
      }
      replay.end();
      tellCut(reader);
    } catch (CaptureProblem wrong) {
      throw new Stop(ExitCode.USAGE, String.valueOf(wrong.getMessage()));
    } catch (IOException unreadable) {
      throw new Stop(ExitCode.USAGE, source + ": cannot be read (" + unreadable.getMessage() + ")");
    }
    print(judge);
    return ExitCode.DONE;
  }

  private void tellCut(CaptureReader reader) {
    if (reader.isCut()) {
      output.err().println(source + ":" + reader.line() + " is not whole and was left out");
    }
  }

  private static List<BoardOnLine> boards(List<PackConfig> packs, Config loaded) {
    List<BoardOnLine> boards = new ArrayList<>();
    Decoders decoders = new Decoders(loaded.file());
    for (PackConfig pack : packs) {
      LineConfig line = pack.line().orElseThrow();
      Decoder decoder = decoders.find(line.spec());
      boards.add(
          new BoardOnLine(
              pack.plan().id(),
              decoder.dialogue(line.address()),
              line.settings(decoder.line()),
              Duration.ofMillis(line.pollMs())));
    }
    return boards;
  }

  private void print(Judge judge) {
    if (output.isJson()) {
      output.json(
          Facts.of()
              .put("readings", judge.readings)
              .put("events", judge.events.stream().map(AlertEvent::facts).toList())
              .put(
                  "findings",
                  judge.watches.stream()
                      .flatMap(w -> w.analysis().standing().stream())
                      .map(f -> Facts.of().put(f.name().word(), f.facts()).build())
                      .toList())
              .build());
      return;
    }
    output.line(judge.readings + " readings");
    for (AlertEvent event : judge.events) {
      output.line(
          IsoTime.of(event.alert().timeMs())
              + "  "
              + event.alert().priority().word()
              + "  "
              + event.change().word()
              + "  "
              + event.alert().text());
    }
    for (PackWatch watch : judge.watches) {
      watch.analysis().standing().forEach(f -> output.line(watch.id() + ": " + f.sentence()));
    }
  }

  /** Judges what the capture says. */
  private static final class Judge implements BoardListener {
    private final List<PackWatch> watches;
    private final List<AlertEvent> events = new ArrayList<>();
    private long readings;

    Judge(List<PackWatch> watches) {
      this.watches = watches;
    }

    @Override
    public void heard(String pack, LogEntry entry) {
      readings += entry instanceof Reading ? 1 : 0;
      watches.stream()
          .filter(w -> w.id().equals(pack))
          .forEach(w -> events.addAll(w.accept(entry)));
    }

    @Override
    public void note(String pack, String text) {}

    @Override
    public void otherBoard(String pack, String before, String now) {}
  }
}
