package org.cellherd.store;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.store.sql.Database;

/**
 * What the log keeps of times that were changed.
 *
 * @param atMs when that was, ms UTC
 * @param byWhom who asked, may be empty
 * @param what what was moved
 */
public record PastRedating(long atMs, String byWhom, Redated what) {

  /** All of a pack, oldest first. */
  public static List<PastRedating> of(Connection connection, String pack) throws SQLException {
    String sql =
        "SELECT at_ms, by, readings, stretches, gaps, from_ms, to_ms, offset_ms FROM redating"
            + " WHERE pack = ? ORDER BY id";
    return Database.rows(connection, sql, PastRedating::of, pack);
  }

  private static PastRedating of(ResultSet row) throws SQLException {
    Redated what =
        new Redated(
            row.getLong(3),
            row.getInt(4),
            row.getLong(5),
            row.getLong(6),
            row.getLong(7),
            row.getLong(8));
    return new PastRedating(row.getLong(1), row.getString(2), what);
  }
}
