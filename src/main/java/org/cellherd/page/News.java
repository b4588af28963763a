package org.cellherd.page;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertState;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Facts;
import org.cellherd.pack.TimeSource;
import org.cellherd.report.AlertSpan;

/**
 * What one page is told of the board: first everything, then what changed since it was told. It
 * always looks at the newest. For one thread.
 */
final class News {

  private final LiveBoard board;
  private final Optional<String> only;
  private final TimeSource time;
  private final PackFacts facts;
  private final ZoneId zone;
  private final String site;
  private final Map<String, Long> told = new HashMap<>();
  private final Map<String, Long> toldOutlines = new HashMap<>();
  private long toldAlerts = -1;
  private long toldColumn = Long.MIN_VALUE;

  /**
   * Nothing was told yet.
   *
   * @param only the one pack that is told in full; empty for all in brief
   */
  News(LiveBoard board, Optional<String> only, Place place) {
    this.board = board;
    this.only = only;
    this.time = place.time();
    this.zone = place.zone();
    this.site = place.site();
    this.facts = new PackFacts(place.zone());
  }

  /** Where the page is. */
  record Place(String site, TimeSource time, ZoneId zone) {}

  /** A piece of news: what it is of, and its facts as JSON. */
  record Message(String event, String json) {

    String sent() {
      return "event: " + event + "\ndata: " + json + "\n\n";
    }
  }

  /** Everything, as {@code [["hello", {...}], ["pack", {...}], ...]}. */
  String first() {
    List<Message> all = new ArrayList<>();
    all.add(hello());
    all.addAll(next());
    return all.stream()
        .map(message -> "[" + JsonText.quoted(message.event()) + "," + message.json() + "]")
        .collect(Collectors.joining(",", "[", "]"));
  }

  /** The answer alone, HTML. */
  String answer() {
    FirstLook look = new FirstLook(board.alerts(), only);
    List<PackNow> packs = board.packs();
    return packs.stream()
        .filter(pack -> only.isPresent() && only.get().equals(pack.plan().id()))
        .map(pack -> look.of(pack, facts.headline(pack, time.wallMs())))
        .findFirst()
        .orElseGet(() -> look.of(packs));
  }

  /** Where the page is, and when it is. */
  Message hello() {
    Facts where =
        Facts.of()
            .putTime("now", time.wallMs())
            .put("site", site)
            .put("zone", zone.getId())
            .build();
    return new Message("hello", JsonText.of(where));
  }

  /** What changed, with the time as the last. */
  List<Message> next() {
    List<Message> news = new ArrayList<>();
    long now = time.wallMs();
    for (PackNow pack : board.packs()) {
      String id = pack.plan().id();
      boolean mine = only.isEmpty() || only.get().equals(id);
      if (mine && !Long.valueOf(pack.stamp()).equals(told.put(id, pack.stamp()))) {
        Facts said = only.isEmpty() ? facts.brief(pack, now) : facts.full(pack, now);
        news.add(new Message("pack", JsonText.of(said)));
      }
    }
    long alertVersion = board.alertVersion();
    if (alertVersion != toldAlerts) {
      toldAlerts = alertVersion;
      news.add(new Message("alerts", JsonText.of(alerts())));
    }
    only.flatMap(board::pack).ifPresentOrElse(pack -> news.add(strip(pack)), () -> outlines(news));
    news.add(new Message("tick", JsonText.of(Facts.of().putTime("now", now).build())));
    return news;
  }

  /** Of all packs only how far apart their cells were. */
  private void outlines(List<Message> news) {
    for (PackNow now : board.packs()) {
      String id = now.plan().id();
      board
          .pack(id)
          .filter(pack -> pack.newestColumn() >= 0)
          .filter(
              pack ->
                  !Long.valueOf(pack.newestColumn())
                      .equals(toldOutlines.put(id, pack.newestColumn())))
          .ifPresent(pack -> news.add(new Message("outline", pack.outlineJson())));
    }
  }

  private Message strip(LivePack pack) {
    long newest = pack.newestColumn();
    // A step back, and more than one minute at once, are told as a whole.
    boolean follows = newest == toldColumn || newest == toldColumn + 1;
    toldColumn = newest;
    return follows
        ? new Message("column", pack.columnJson())
        : new Message("strip", pack.stripJson());
  }

  private Facts alerts() {
    List<Facts> standing = new ArrayList<>();
    for (Alert alert : board.alerts()) {
      if (isMine(alert)) {
        standing.add(
            Facts.of()
                .putAll(byPeak(alert).facts())
                .put("cause", OneCause.of(alert))
                .put("gone", alert.isGone())
                .build());
      }
    }
    List<Facts> lately = new ArrayList<>();
    board.lately().stream()
        .filter(event -> isMine(event.alert()))
        .forEach(event -> lately.add(event.facts()));
    return Facts.of().put("alerts", standing).put("lately", lately).build();
  }

  /** What is over is told by its peak, what it was first. */
  private Alert byPeak(Alert alert) {
    return alert.state() == AlertState.RETURNED
        ? AlertSpan.over(alert, time.wallMs(), zone).map(alert::saying).orElse(alert)
        : alert;
  }

  private boolean isMine(Alert alert) {
    return only.isEmpty() || only.get().equals(alert.key().pack());
  }
}
