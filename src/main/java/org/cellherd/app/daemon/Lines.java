package org.cellherd.app.daemon;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.cellherd.app.Stop;
import org.cellherd.app.config.LineConfig;
import org.cellherd.app.config.PackConfig;
import org.cellherd.board.BoardListener;
import org.cellherd.board.BoardOnLine;
import org.cellherd.board.LineClock;
import org.cellherd.board.LinePoller;
import org.cellherd.board.Link;
import org.cellherd.board.LinkAddress;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.Decoder;

/** One poller for each line of the config; packs with the same link share a line. */
public final class Lines {

  private final List<LinePoller> pollers;

  private Lines(List<LinePoller> pollers) {
    this.pollers = List.copyOf(pollers);
  }

  /** Finds the decoder of a spec's name or path. */
  @FunctionalInterface
  public interface DecoderFinder {
    /** The decoder, or a {@link Stop} that says why not. */
    Decoder find(String spec);
  }

  /**
   * Which boards are on which line, before anything is opened: a mistake here leaves nothing
   * behind.
   */
  static final class Wiring {
    private final Map<String, List<BoardOnLine>> boards = new LinkedHashMap<>();
    private final Map<String, LineConfig> configs = new LinkedHashMap<>();
    private final Map<String, String> packs = new HashMap<>();

    /**
     * The wiring of a config.
     *
     * @throws Stop when boards cannot share their line, two packs name one board, or a description
     *     is not there
     */
    Wiring(List<PackConfig> packs, DecoderFinder decoders) {
      packs.forEach(pack -> pack.line().ifPresent(line -> add(pack, line, decoders)));
      boards.forEach(
          (link, onIt) ->
              LinePoller.problem(onIt)
                  .ifPresent(
                      p -> {
                        throw Stop.usage("line " + link + ": " + p);
                      }));
    }

    private void add(PackConfig pack, LineConfig line, DecoderFinder decoders) {
      Decoder decoder = carried(line, decoders.find(line.spec()));
      String board = line.link() + " " + line.spec() + " " + line.address();
      String before = packs.putIfAbsent(board, pack.plan().id());
      if (before != null) {
        throw Stop.usage(
            "line %s: packs %s and %s name the same board, spec %s at address %s"
                .formatted(line.link(), before, pack.plan().id(), line.spec(), line.address()));
      }
      configs.putIfAbsent(line.link(), line);
      boards
          .computeIfAbsent(line.link(), l -> new ArrayList<>())
          .add(
              new BoardOnLine(
                  pack.plan().id(),
                  decoder.dialogue(line.address()),
                  line.settings(decoder.line()),
                  Duration.ofMillis(line.pollMs())));
    }
  }

  /** Builds the pollers; no line is opened yet. */
  static Lines of(
      Wiring wiring, Function<LineConfig, Link> links, LineClock clock, BoardListener listener) {
    List<LinePoller> pollers = new ArrayList<>();
    wiring.configs.forEach(
        (link, config) ->
            pollers.add(
                new LinePoller(
                    links.apply(config),
                    wiring.boards.getOrDefault(link, List.of()),
                    clock,
                    listener)));
    return new Lines(pollers);
  }

  /**
   * The decoder, where the line's link can carry it.
   *
   * @throws Stop when it cannot
   */
  public static Decoder carried(LineConfig line, Decoder decoder) {
    LinkAddress.parse(line.link())
        .address()
        .flatMap(address -> address.problemWith(decoder))
        .ifPresent(
            problem -> {
              throw Stop.usage("link " + problem);
            });
    return decoder;
  }

  /** The link of a config's address, on the system's own ports and network. */
  public static Function<LineConfig, Link> systemLinks(TimeSource time) {
    return line -> {
      LinkAddress.Parsed parsed = LinkAddress.parse(line.link());
      return parsed.address().orElseThrow(() -> Stop.usage("link " + parsed.problem())).link(time);
    };
  }

  List<LinePoller> pollers() {
    return pollers;
  }

  void setPace(String pack, Duration pace) {
    pollers.forEach(p -> p.setPace(pack, pace));
  }
}
