package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.TreeMap;
import org.cellherd.store.sql.Database;

/** Which rows of a tail the database does not have yet. */
final class TailRows {

  private static final String SPANS =
      "SELECT start_ms, end_ms FROM recent WHERE pack = ?1 AND session = ?2 AND end_ms >= ?3"
          + " UNION ALL SELECT start_ms, end_ms FROM block WHERE pack = ?1 AND session = ?2"
          + " AND start_ms >= ?3 - "
          + PackStream.HOUR_MS
          + " AND end_ms >= ?3";

  private TailRows() {}

  /** The highest number that a row of {@code recent} ever had. */
  public static long highest(Connection connection) throws SQLException {
    return Database.number(connection, "SELECT seq FROM sqlite_sequence WHERE name = 'recent'")
        .orElse(0);
  }

  /**
   * The rows that are not in the database: those whose span no row there covers. Not their numbers
   * tell, for a damaged table has lost some below its highest.
   */
  public static List<ReadingsRow> missing(Connection connection, List<ReadingsRow> tail)
      throws SQLException {
    List<ReadingsRow> missing = new ArrayList<>();
    Map<List<Object>, NavigableMap<Long, Long>> known = new HashMap<>();
    for (ReadingsRow row : tail) {
      List<Object> stretch = List.of(row.pack(), row.session());
      NavigableMap<Long, Long> spans = known.get(stretch);
      if (spans == null) {
        spans = spans(connection, row, earliest(tail, row));
        known.put(stretch, spans);
      }
      Map.Entry<Long, Long> before = spans.floorEntry(row.startMs());
      if (before == null || before.getValue() < row.endMs()) {
        missing.add(row);
        spans.merge(row.startMs(), row.endMs(), Math::max);
      }
    }
    return missing;
  }

  private static long earliest(List<ReadingsRow> tail, ReadingsRow like) {
    return tail.stream()
        .filter(row -> row.session() == like.session() && row.pack().equals(like.pack()))
        .mapToLong(ReadingsRow::startMs)
        .min()
        .orElse(like.startMs());
  }

  private static NavigableMap<Long, Long> spans(
      Connection connection, ReadingsRow row, long earliestMs) throws SQLException {
    NavigableMap<Long, Long> spans = new TreeMap<>();
    Database.each(
        connection,
        SPANS,
        span -> spans.merge(span.getLong(1), span.getLong(2), Math::max),
        row.pack(),
        row.session(),
        earliestMs);
    return spans;
  }
}
