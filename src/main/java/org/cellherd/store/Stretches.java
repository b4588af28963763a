package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.Map;
import java.util.TreeMap;
import org.cellherd.store.sql.Database;

/** Which times of a pack the log covers already, by stretch. */
final class Stretches {

  private final TreeMap<Long, Long> endByStart = new TreeMap<>();
  private final TreeMap<Long, Long> rankByStart = new TreeMap<>();

  /** Reads where a pack has readings. */
  Stretches(Connection connection, String pack) throws SQLException {
    this(connection, pack, 0);
  }

  /** Reads where a pack has readings that were imported. */
  static Stretches imported(Connection connection, String pack) throws SQLException {
    return new Stretches(connection, pack, 1);
  }

  private Stretches(Connection connection, String pack, int onlyImported) throws SQLException {
    String sql =
        "SELECT s.rank, min(r.start_ms), max(r.end_ms) FROM session s JOIN"
            + " (SELECT session, start_ms, end_ms FROM block WHERE pack = ?1 UNION ALL"
            + " SELECT session, start_ms, end_ms FROM recent WHERE pack = ?1) r"
            + " ON r.session = s.id WHERE s.pack = ?1 AND (?2 = 0 OR s.run = 0)"
            + " GROUP BY s.id";
    try (PreparedStatement statement = Database.prepare(connection, sql, pack, onlyImported);
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        endByStart.merge(row.getLong(2), row.getLong(3), Math::max);
        rankByStart.put(row.getLong(2), row.getLong(1));
      }
    }
  }

  /** True when a stretch reaches over this time. */
  boolean covers(long timeMs) {
    Map.Entry<Long, Long> before = endByStart.floorEntry(timeMs);
    return before != null && timeMs <= before.getValue();
  }

  /** True when a stretch begins in {@code afterMs < start <= toMs}. */
  boolean beginsWithin(long afterMs, long toMs) {
    Long next = endByStart.higherKey(afterMs);
    return next != null && next <= toMs;
  }

  /** The rank of the first stretch that begins after a time; the highest number when none does. */
  long rankAfter(long timeMs) {
    Map.Entry<Long, Long> next = rankByStart.higherEntry(timeMs);
    return next == null ? Long.MAX_VALUE : next.getValue();
  }

  /** Notes that all stretches from a rank on have moved up by one. */
  void movedUp(long fromRank) {
    rankByStart.replaceAll((start, rank) -> rank >= fromRank ? rank + 1 : rank);
  }
}
