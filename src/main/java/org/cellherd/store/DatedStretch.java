package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import org.cellherd.store.sql.Database;

/**
 * A part of a pack's log with one clock.
 *
 * @param id its number, which it keeps
 * @param rank its place among all, in order of happening
 * @param run the daemon's run that wrote it, 0 when it was imported
 * @param kind how it began
 * @param startMs time of its first reading, or when it began where it has none, ms UTC
 * @param endMs time of its last reading, or the same, ms UTC
 * @param readings how many, those included of which only their hours are kept
 */
public record DatedStretch(
    long id, long rank, long run, LogSession.Kind kind, long startMs, long endMs, long readings) {

  private static final String ROWS =
      "SELECT "
          + ReadingsRow.COLUMNS
          + " FROM block WHERE pack = ?1 AND session = ?2 UNION ALL SELECT "
          + ReadingsRow.COLUMNS
          + " FROM recent WHERE pack = ?1 AND session = ?2";

  public static List<DatedStretch> of(Connection connection, String pack) throws SQLException {
    List<DatedStretch> stretches = new ArrayList<>();
    for (LogSession anchor : LogSession.of(connection, pack)) {
      stretches.add(of(connection, anchor));
    }
    return stretches;
  }

  private static DatedStretch of(Connection connection, LogSession anchor) throws SQLException {
    long start = Long.MAX_VALUE;
    long end = Long.MIN_VALUE;
    long count = 0;
    try (PreparedStatement statement =
            Database.prepare(connection, ROWS, anchor.pack(), anchor.id());
        ResultSet result = statement.executeQuery()) {
      while (result.next()) {
        ReadingsRow row = ReadingsRow.of(result);
        start = Math.min(start, row.startMs());
        end = Math.max(end, row.endMs());
        count += row.count();
      }
    }
    // Where single readings were retired, their hours are left.
    OptionalLong firstHour = hours(connection, anchor, "SELECT min(start_ms) FROM hour");
    if (firstHour.isPresent() && firstHour.getAsLong() + PackStream.HOUR_MS <= start) {
      start = firstHour.getAsLong();
      long lastHour = hours(connection, anchor, "SELECT max(start_ms) FROM hour").orElse(start);
      end = Math.max(end, lastHour);
    }
    boolean isEmpty = start == Long.MAX_VALUE;
    return new DatedStretch(
        anchor.id(),
        anchor.rank(),
        anchor.run(),
        anchor.kind(),
        isEmpty ? anchor.startMs() : start,
        isEmpty ? anchor.startMs() : end,
        Math.max(count, counted(connection, anchor)));
  }

  private static OptionalLong hours(Connection connection, LogSession anchor, String what)
      throws SQLException {
    String sql = what + " WHERE pack = ? AND session = ?";
    return Database.number(connection, sql, anchor.pack(), anchor.id());
  }

  private static long counted(Connection connection, LogSession anchor) throws SQLException {
    String sql =
        "SELECT max(n) FROM (SELECT sum(count) AS n FROM hour WHERE pack = ? AND session = ?"
            + " GROUP BY channel)";
    return Database.number(connection, sql, anchor.pack(), anchor.id()).orElse(0);
  }

  /** True when times of both lie within each other. */
  boolean overlaps(DatedStretch other) {
    return startMs <= other.endMs && other.startMs <= endMs;
  }

  /** The same at other times. */
  DatedStretch movedBy(long offsetMs) {
    return new DatedStretch(id, rank, run, kind, startMs + offsetMs, endMs + offsetMs, readings);
  }
}
