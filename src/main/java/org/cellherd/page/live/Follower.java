package org.cellherd.page.live;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertState;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Facts;
import org.cellherd.pack.TimeSource;
import org.cellherd.report.AlertSpan;

/**
 * One open page that follows the board by server-sent events: first everything, then what changed,
 * at most about once a second. It always looks at the newest, so what it is too slow for is
 * skipped. Runs on a thread of its own.
 */
final class Follower implements Runnable {

  /** Changes are collected for so long. */
  private static final long SPACING_MS = 900;

  /** A sign of life at least this often; a page that hears none calls everything stale. */
  private static final long TICK_MS = 4_000;

  private final LiveBoard board;
  private final Optional<String> only;
  private final Followers.Line line;
  private final TimeSource time;
  private final PackFacts facts;
  private final ZoneId zone;
  private final String site;
  private final Map<String, Long> told = new HashMap<>();
  private final Map<String, Long> toldOutlines = new HashMap<>();
  private long toldAlerts = -1;
  private long toldColumn = Long.MIN_VALUE;

  /**
   * A follower.
   *
   * @param only the one pack that it follows in full; empty for all in brief
   */
  Follower(LiveBoard board, Optional<String> only, Followers.Line line, Place place) {
    this.board = board;
    this.only = only;
    this.line = line;
    this.time = place.time();
    this.zone = place.zone();
    this.site = place.site();
    this.facts = new PackFacts(place.zone());
  }

  /** Where the page is. */
  record Place(String site, TimeSource time, ZoneId zone) {}

  @Override
  public void run() {
    try (OutputStream out = line.open()) {
      write(out, "retry: 1500\n\n" + message("hello", JsonText.of(hello())));
      while (!Thread.currentThread().isInterrupted()) {
        long seen = board.version();
        write(out, news());
        board.awaitChange(seen, TICK_MS);
        time.sleepNanos(SPACING_MS * 1_000_000);
      }
    } catch (IOException gone) {
      // The page was closed, or was dropped for being slow: it comes again by itself.
    } catch (InterruptedException stopping) {
      Thread.currentThread().interrupt();
    }
  }

  private Facts hello() {
    return Facts.of()
        .putTime("now", time.wallMs())
        .put("site", site)
        .put("zone", zone.getId())
        .build();
  }

  private String news() {
    StringBuilder text = new StringBuilder(512);
    long now = time.wallMs();
    for (PackNow pack : board.packs()) {
      String id = pack.plan().id();
      boolean mine = only.isEmpty() || only.get().equals(id);
      if (mine && !Long.valueOf(pack.stamp()).equals(told.put(id, pack.stamp()))) {
        Facts news = only.isEmpty() ? facts.brief(pack, now) : facts.full(pack, now);
        text.append(message("pack", JsonText.of(news)));
      }
    }
    long alertVersion = board.alertVersion();
    if (alertVersion != toldAlerts) {
      toldAlerts = alertVersion;
      text.append(message("alerts", JsonText.of(alerts())));
    }
    only.flatMap(board::pack).ifPresentOrElse(pack -> strip(pack, text), () -> outlines(text));
    text.append(message("tick", JsonText.of(Facts.of().putTime("now", now).build())));
    return text.toString();
  }

  /** Of all packs only how far apart their cells were. */
  private void outlines(StringBuilder text) {
    for (PackNow now : board.packs()) {
      String id = now.plan().id();
      board
          .pack(id)
          .filter(pack -> pack.newestColumn() >= 0)
          .filter(
              pack ->
                  !Long.valueOf(pack.newestColumn())
                      .equals(toldOutlines.put(id, pack.newestColumn())))
          .ifPresent(pack -> text.append(message("outline", pack.outlineJson())));
    }
  }

  private void strip(LivePack pack, StringBuilder text) {
    long newest = pack.newestColumn();
    // A step back, and more than one minute at once, are told as a whole.
    boolean follows = newest == toldColumn || newest == toldColumn + 1;
    text.append(
        follows ? message("column", pack.columnJson()) : message("strip", pack.stripJson()));
    toldColumn = newest;
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

  private static String message(String event, String json) {
    return "event: " + event + "\ndata: " + json + "\n\n";
  }

  private static void write(OutputStream out, String text) throws IOException {
    out.write(text.getBytes(StandardCharsets.UTF_8));
  }
}
