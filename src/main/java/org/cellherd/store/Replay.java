package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.List;
import java.util.Locale;
import java.util.function.Consumer;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.store.sql.Database;

/**
 * Hands over a pack's entries in order of happening: stretch by stretch, in each the blocks, then
 * what is not packed yet, with the gaps between. Holds a few blocks at a time.
 */
final class Replay {

  private static final String ROWS =
      "SELECT "
          + ReadingsRow.COLUMNS
          + " FROM %s WHERE pack = ? AND session = ? AND start_ms > ? AND start_ms < ?"
          + " AND end_ms >= ? ORDER BY start_ms, id";

  private final Connection connection;
  private final String pack;
  private long fromMs;
  private final long toMs;
  private final List<ReadingsRow> tail;
  private final Consumer<Loss> losses;

  /** A replay over the database and then the rows of the tail that are not in it. */
  Replay(
      Connection connection,
      String pack,
      long fromMs,
      long toMs,
      List<ReadingsRow> tail,
      Consumer<Loss> losses) {
    this.losses = losses;
    this.connection = connection;
    this.pack = pack;
    this.fromMs = fromMs;
    this.toMs = toMs;
    this.tail = tail;
  }

  void run(Consumer<LogEntry> consumer) throws SQLException {
    for (LogSession anchor : LogSession.of(connection, pack)) {
      anchor.entry().filter(this::isWanted).ifPresent(consumer);
      stretch(anchor, consumer);
    }
  }

  /** Replays a stretch from the given time, and all that follow it whatever their times are. */
  void after(long stretch, Consumer<LogEntry> consumer) throws SQLException {
    List<LogSession> anchors = LogSession.of(connection, pack);
    int first = 0;
    while (first < anchors.size() && anchors.get(first).id() != stretch) {
      first++;
    }
    if (first == anchors.size()) {
      run(consumer);
      return;
    }
    stretch(anchors.get(first), consumer);
    fromMs = Long.MIN_VALUE;
    for (LogSession anchor : anchors.subList(first + 1, anchors.size())) {
      anchor.entry().filter(this::isWanted).ifPresent(consumer);
      stretch(anchor, consumer);
    }
  }

  private void stretch(LogSession anchor, Consumer<LogEntry> consumer) throws SQLException {
    String sql =
        "SELECT "
            + GapRow.COLUMNS
            + " FROM gap WHERE pack = ? AND session = ? AND to_ms >= ? AND to_ms < ?"
            + " ORDER BY after_ms, id";
    try (PreparedStatement statement =
            Database.prepare(connection, sql, pack, anchor.id(), fromMs, toMs);
        ResultSet result = statement.executeQuery()) {
      Gaps gaps = new Gaps(result, consumer);
      rows("block", anchor, gaps, consumer);
      rows("recent", anchor, gaps, consumer);
      for (ReadingsRow row : tail) {
        if (row.pack().equals(pack) && row.session() == anchor.id()) {
          readings(BlocksAhead.unpack(row), gaps, consumer);
        }
      }
      gaps.upTo(Long.MAX_VALUE);
    }
  }

  private void rows(String table, LogSession anchor, Gaps gaps, Consumer<LogEntry> consumer)
      throws SQLException {
    // A row holds at most one hour, so one that began earlier cannot reach into the stretch.
    long earliest = fromMs < Long.MIN_VALUE / 2 ? fromMs : fromMs - PackStream.HOUR_MS;
    String sql = String.format(Locale.ROOT, ROWS, table);
    try (PreparedStatement statement =
            Database.prepare(connection, sql, pack, anchor.id(), earliest, toMs, fromMs);
        ResultSet row = statement.executeQuery()) {
      BlocksAhead ahead = new BlocksAhead();
      boolean more = true;
      while (more || !ahead.isEmpty()) {
        while (more && ahead.hasRoom()) {
          more = row.next();
          if (more) {
            ahead.add(ReadingsRow.of(row));
          }
        }
        if (!ahead.isEmpty()) {
          readings(ahead.next(), gaps, consumer);
        }
      }
    }
  }

  private void readings(BlocksAhead.Unpacked block, Gaps gaps, Consumer<LogEntry> consumer)
      throws SQLException {
    for (Reading reading : block.readings()) {
      if (isWanted(reading)) {
        gaps.upTo(reading.timeMs());
        consumer.accept(reading);
      }
    }
    if (block.damage().isPresent()) {
      ReadingsRow row = block.row();
      losses.accept(DamagedRow.loss(connection, row));
      Gap lost = new Gap(row.startMs(), Math.max(row.startMs(), row.endMs()), Gap.Cause.UNKNOWN);
      if (isWanted(lost)) {
        gaps.upTo(row.startMs());
        consumer.accept(lost);
      }
    }
  }

  private boolean isWanted(LogEntry entry) {
    return entry.timeMs() >= fromMs && entry.timeMs() < toMs;
  }

  /** The gaps of one stretch, handed over each at its place. */
  private static final class Gaps {
    private final ResultSet result;
    private final Consumer<LogEntry> consumer;
    private boolean more;

    Gaps(ResultSet result, Consumer<LogEntry> consumer) throws SQLException {
      this.result = result;
      this.consumer = consumer;
      this.more = result.next();
    }

    /** Hands over all gaps that come before a reading at this time. */
    void upTo(long readingMs) throws SQLException {
      while (more) {
        GapRow row = GapRow.of(result);
        if (row.afterMs() >= readingMs) {
          return;
        }
        consumer.accept(row.gap());
        more = result.next();
      }
    }
  }
}
