package org.cellherd.store.rows;

import java.sql.Connection;
import java.sql.SQLException;
import org.cellherd.store.sql.Database;

/** The next free row numbers; only the one writer hands them out. Guarded by the database. */
public final class FreeNumbers {
  private long session;
  private long rank;
  private long recent;
  private long gap;

  /** Reads where the file stands. */
  public FreeNumbers(Connection connection) throws SQLException {
    session = highest(connection, "SELECT max(id) FROM session");
    rank = highest(connection, "SELECT max(rank) FROM session");
    recent = TailRows.highest(connection);
    gap = highest(connection, "SELECT max(id) FROM gap");
  }

  private static long highest(Connection connection, String sql) throws SQLException {
    return Database.number(connection, sql).orElse(0);
  }

  /** The next number of a stretch. */
  public long nextSession() {
    return ++session;
  }

  /** The next place in the order of happening. */
  public long nextRank() {
    return ++rank;
  }

  /** The next number of a row of readings. */
  public long nextRecent() {
    return ++recent;
  }

  /** Leaves numbers of rows of readings out, up to one that is taken. */
  public void skipRecent(long taken) {
    recent = Math.max(recent, taken);
  }

  /** The next number of a gap. */
  public long nextGap() {
    return ++gap;
  }
}
