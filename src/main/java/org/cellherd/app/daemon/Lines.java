package org.cellherd.app.daemon;

import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.cellherd.app.ExitCode;
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
   * Builds the pollers; no line is opened yet.
   *
   * @throws Stop when boards cannot share their line, or a description is not there
   */
  public static Lines of(
      List<PackConfig> packs,
      DecoderFinder decoders,
      Function<LineConfig, Link> links,
      LineClock clock,
      BoardListener listener) {
    Map<String, List<BoardOnLine>> byLink = new LinkedHashMap<>();
    Map<String, LineConfig> configs = new LinkedHashMap<>();
    for (PackConfig pack : packs) {
      Optional<LineConfig> line = pack.line();
      if (line.isPresent()) {
        LineConfig config = line.get();
        Decoder decoder = carried(config, decoders.find(config.spec()));
        configs.putIfAbsent(config.link(), config);
        byLink
            .computeIfAbsent(config.link(), l -> new ArrayList<>())
            .add(
                new BoardOnLine(
                    pack.plan().id(),
                    decoder.dialogue(config.address()),
                    config.settings(decoder.line()),
                    Duration.ofMillis(config.pollMs())));
      }
    }
    List<LinePoller> pollers = new ArrayList<>();
    byLink.forEach(
        (link, boards) -> {
          LinePoller.problem(boards)
              .ifPresent(
                  p -> {
                    throw new Stop(ExitCode.USAGE, "line " + link + ": " + p);
                  });
          LineConfig config = configs.get(link);
          if (config != null) {
            pollers.add(new LinePoller(links.apply(config), boards, clock, listener));
          }
        });
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
              throw new Stop(ExitCode.USAGE, "link " + problem);
            });
    return decoder;
  }

  /** The link of a config's address, on the system's own ports and network. */
  public static Function<LineConfig, Link> systemLinks(TimeSource time) {
    return line -> {
      LinkAddress.Parsed parsed = LinkAddress.parse(line.link());
      return parsed
          .address()
          .orElseThrow(() -> new Stop(ExitCode.USAGE, "link " + parsed.problem()))
          .link(time);
    };
  }

  /** All pollers. */
  List<LinePoller> pollers() {
    return pollers;
  }

  /** Changes the pace of a pack's polling. */
  void setPace(String pack, Duration pace) {
    pollers.forEach(p -> p.setPace(pack, pace));
  }
}
