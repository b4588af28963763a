package org.cellherd.app.verb;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.Decoders;
import org.cellherd.app.config.LineConfig;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.PackWatch;
import org.cellherd.board.BoardListener;
import org.cellherd.board.BoardOnLine;
import org.cellherd.board.CaptureReplay;
import org.cellherd.json.IsoTime;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Decoder;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
    name = "replay",
    mixinStandardHelpOptions = true,
    header = "Decodes a capture again and judges it.",
    description =
        "By the capture's own clock, as \"run\" would: what would have been found and "
            + "alerted. Stores and publishes nothing.")
final class ReplayVerb implements Callable<Integer> {

  @Mixin private ConfigOption config;
  @Mixin private AnswerOutput output;

  @Option(
      names = "--link",
      paramLabel = "LINK",
      description = "Only this line (default: all that the config and the capture share).")
  private @Nullable String link;

  @Parameters(paramLabel = "CAPTURE", description = "The capture.")
  private Path source;

  @Override
  public Integer call() {
    Config loaded = config.loadToAsk();
    List<PackConfig> packs =
        loaded.packs().stream()
            .filter(p -> p.line().isPresent())
            .filter(p -> link == null || p.line().map(LineConfig::link).equals(Optional.of(link)))
            .toList();
    if (packs.isEmpty()) {
      throw Stop.usage("no pack of the config is on that line");
    }
    CaptureFile capture = new CaptureFile(source);
    Judge judge = new Judge(packs.stream().map(PackWatch::new).toList());
    Map<String, CaptureReplay> replays = replays(capture.links(), packs, loaded, judge);
    capture
        .read(
            (chunk, line) -> {
              CaptureReplay replay = replays.get(chunk.link());
              if (replay != null) {
                replay.take(chunk);
              }
              return true;
            })
        .ifPresent(
            cut -> output.err().println(source + ":" + cut + " is not whole and was left out"));
    new HashSet<>(replays.values()).forEach(CaptureReplay::end);
    print(judge);
    return ExitCode.DONE;
  }

  /**
   * Which line of the capture is decoded by which boards: the one of their link, or, where there is
   * no choice, the only one.
   */
  private Map<String, CaptureReplay> replays(
      Set<String> held, List<PackConfig> packs, Config loaded, Judge judge) {
    Map<String, List<PackConfig>> byLink =
        packs.stream()
            .collect(
                Collectors.groupingBy(
                    p -> p.line().orElseThrow().link(), LinkedHashMap::new, Collectors.toList()));
    Map<String, CaptureReplay> replays = new HashMap<>();
    boolean isOnly = byLink.size() == 1 && held.size() == 1;
    for (String link : held) {
      List<PackConfig> there = byLink.get(isOnly ? byLink.keySet().iterator().next() : link);
      if (there != null) {
        replays.put(link, new CaptureReplay(boards(there, loaded), judge));
      }
    }
    if (replays.isEmpty() && !held.isEmpty()) {
      throw Stop.usage(
          source
              + ": "
              + CaptureFile.held(held)
              + "; the packs of the config are on "
              + String.join(", ", byLink.keySet())
              + (byLink.size() > 1 ? "; choose one of these with --link" : ""));
    }
    Set<String> others = new LinkedHashSet<>(held);
    others.removeAll(replays.keySet());
    if (!others.isEmpty()) {
      output.err().println(source + ": also " + CaptureFile.held(others) + ", which is left out");
    }
    return replays;
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
    output.line(Spoken.counted(judge.readings, "reading"));
    for (AlertEvent event : judge.events) {
      Alert alert = event.alert();
      String time = IsoTime.of(alert.timeMs());
      output.line(
          String.join("  ", time, alert.priority().word(), event.change().spoken(), alert.text()));
    }
    for (PackWatch watch : judge.watches) {
      watch.analysis().standing().forEach(f -> output.line(watch.id() + ": " + f.sentence()));
    }
  }

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
  }
}
