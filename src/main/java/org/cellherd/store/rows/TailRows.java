package org.cellherd.store.rows;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.store.sql.Database;

/** Which rows of a tail the database does not have yet. */
public final class TailRows {

  private static final String NEWEST =
      "SELECT max(t) FROM (SELECT max(end_ms) AS t FROM recent WHERE pack = ?1 AND session = ?2"
          + " UNION ALL SELECT max(end_ms) FROM block WHERE pack = ?1 AND session = ?2)";

  private TailRows() {}

  /** The highest number that a row of {@code recent} ever had. */
  public static long highest(Connection connection) throws SQLException {
    return Database.number(connection, "SELECT seq FROM sqlite_sequence WHERE name = 'recent'")
        .orElse(0);
  }

  /**
   * The rows that are not in the database. Their numbers tell; after a salvage that lost those,
   * their times do, since a stretch never goes back.
   */
  public static List<ReadingsRow> missing(Connection connection, List<ReadingsRow> tail)
      throws SQLException {
    List<ReadingsRow> missing = new ArrayList<>();
    Map<Long, Long> newest = new HashMap<>();
    long highest = tail.isEmpty() ? 0 : highest(connection);
    for (ReadingsRow row : tail) {
      if (row.id() <= highest) {
        continue;
      }
      if (!newest.containsKey(row.session())) {
        long end =
            Database.number(connection, NEWEST, row.pack(), row.session()).orElse(Long.MIN_VALUE);
        newest.put(row.session(), end);
      }
      if (row.endMs() > newest.getOrDefault(row.session(), Long.MIN_VALUE)) {
        missing.add(row);
      }
    }
    return missing;
  }
}
