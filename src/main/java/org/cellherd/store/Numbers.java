package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;

/** The next free row numbers; only the one writer hands them out. Guarded by the database. */
final class Numbers {
  private long session;
  private long rank;
  private long recent;
  private long gap;

  /** Reads where the file stands. */
  Numbers(Connection connection) throws SQLException {
    session = highest(connection, "SELECT max(id) FROM session");
    rank = highest(connection, "SELECT max(rank) FROM session");
    recent = TailRows.highest(connection);
    gap = highest(connection, "SELECT max(id) FROM gap");
  }

  private static long highest(Connection connection, String sql) throws SQLException {
    return Database.number(connection, sql).orElse(0);
  }

  long nextSession() {
    return ++session;
  }

  long nextRank() {
    return ++rank;
  }

  long nextRecent() {
    return ++recent;
  }

  long nextGap() {
    return ++gap;
  }
}
