package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import org.cellherd.store.sql.Database;

/** Moves the rows of one stretch in time; its row in {@code session} is left to the caller. */
final class Shift {

  private final Connection connection;
  private final String pack;
  private final long session;

  /** Works on a stretch, inside a transaction. */
  public Shift(Connection connection, String pack, long session) {
    this.connection = connection;
    this.pack = pack;
    this.session = session;
  }

  /**
   * Adds some ms to all times.
   *
   * @return how many gaps moved
   */
  public int by(long ms) throws SQLException {
    for (String table : new String[] {"block", "recent"}) {
      update("UPDATE " + table + " SET start_ms = start_ms + ?1, end_ms = end_ms + ?1", ms);
    }
    update(
        "UPDATE heard SET start_ms = start_ms + ?1, from_ms = from_ms + ?1, to_ms = to_ms + ?1",
        ms);
    int gaps =
        update(
            "UPDATE gap SET after_ms = after_ms + ?1, from_ms = from_ms + ?1, to_ms = to_ms + ?1",
            ms);
    // Keys must stay unique at every single row, so all go through numbers that no hour has.
    update("UPDATE hour SET start_ms = -start_ms - 1 - ?1", ms);
    update("UPDATE hour SET start_ms = -start_ms - 1 + ?1", 0);
    new DayRows(connection).rebuild(pack, session);
    return gaps;
  }

  private int update(String sql, long ms) throws SQLException {
    return Database.update(
        connection, sql + " WHERE pack = ?2 AND session = ?3", ms, pack, session);
  }
}
