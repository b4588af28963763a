package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.cellherd.store.sql.Database;

/** Which times of a pack the log covers already, by stretch. */
final class Stretches {

  /**
   * A stretch that has readings.
   *
   * @param id its number
   * @param isImported false when a run of the daemon watched it
   * @param endMs time of its last reading, ms UTC
   */
  record Stretch(long id, boolean isImported, long endMs) {}

  /** By the start of each: whichever of those begun until then reaches farthest. */
  private final TreeMap<Long, Stretch> farthestByStart = new TreeMap<>();

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
        "SELECT s.rank, min(r.start_ms) AS start, max(r.end_ms), s.id, s.run FROM session s JOIN"
            + " (SELECT session, start_ms, end_ms FROM block WHERE pack = ?1 UNION ALL"
            + " SELECT session, start_ms, end_ms FROM recent WHERE pack = ?1) r"
            + " ON r.session = s.id WHERE s.pack = ?1 AND (?2 = 0 OR s.run = 0)"
            + " GROUP BY s.id ORDER BY start";
    Stretch farthest = new Stretch(0, true, Long.MIN_VALUE);
    try (PreparedStatement statement = Database.prepare(connection, sql, pack, onlyImported);
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        Stretch next = new Stretch(row.getLong(4), row.getLong(5) == 0, row.getLong(3));
        farthest = next.endMs >= farthest.endMs ? next : farthest;
        farthestByStart.put(row.getLong(2), farthest);
        rankByStart.put(row.getLong(2), row.getLong(1));
      }
    }
  }

  /** The stretch that reaches over a time. */
  Optional<Stretch> over(long timeMs) {
    return Optional.ofNullable(farthestByStart.floorEntry(timeMs))
        .map(Map.Entry::getValue)
        .filter(stretch -> timeMs <= stretch.endMs);
  }

  /** True when a stretch reaches over this time. */
  boolean covers(long timeMs) {
    return over(timeMs).isPresent();
  }

  /** True when a stretch begins in {@code afterMs < start <= toMs}. */
  boolean beginsWithin(long afterMs, long toMs) {
    Long next = farthestByStart.higherKey(afterMs);
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
