package org.cellherd.store;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.store.sql.Database;

/**
 * From when to when a log that was damaged still holds readings: of what is gone at either end
 * nothing is left that could tell its number.
 */
final class Extent {

  private static final String ROWS =
      "(SELECT r.%1$s FROM (SELECT pack, session, start_ms, end_ms FROM block UNION ALL"
          + " SELECT pack, session, start_ms, end_ms FROM recent) AS r"
          + " JOIN session AS x ON x.id = r.session WHERE r.pack = s.pack"
          + " ORDER BY x.rank %2$s, r.start_ms %2$s LIMIT 1)";

  /** In the order in which they were heard, which is not that of a clock that was set back. */
  private static final String ENDS =
      "SELECT s.pack, %s, %s FROM (SELECT DISTINCT pack FROM session) AS s ORDER BY s.pack"
          .formatted(ROWS.formatted("start_ms", "ASC"), ROWS.formatted("end_ms", "DESC"));

  private Extent() {}

  /** A sentence for each pack. */
  public static List<String> sentences(Connection connection) throws SQLException {
    return Database.rows(connection, ENDS, Extent::sentence);
  }

  private static String sentence(ResultSet row) throws SQLException {
    String pack = "Pack " + row.getString(1) + ": ";
    long from = row.getLong(2);
    return row.wasNull()
        ? pack + "the log holds no reading any more."
        : "%sthe log now holds readings from %s to %s; any before or after are lost."
            .formatted(pack, Loss.time(from), Loss.time(row.getLong(3)));
  }
}
