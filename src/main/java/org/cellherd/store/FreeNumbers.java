package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import org.cellherd.store.sql.Database;

/** The next free row numbers; only the one writer hands them out. Guarded by the database. */
final class FreeNumbers {
  private long session;
  private long rank;
  private long recent;
  private long gap;
  private long run;

  /** Reads where the file stands. */
  public FreeNumbers(Connection connection) throws SQLException {
    session = highest(connection, "SELECT max(id) FROM session");
    rank = highest(connection, "SELECT max(rank) FROM session");
    recent = TailRows.highest(connection);
    gap = highest(connection, "SELECT max(id) FROM gap");
    run = highest(connection, "SELECT max(run) FROM session");
  }

  private static long highest(Connection connection, String sql) throws SQLException {
    return Database.number(connection, sql).orElse(0);
  }

  /** Goes on behind another log's numbers; what an empty log had given out is shifted by them. */
  public void moveBehind(FreeNumbers there) {
    session += there.session;
    rank += there.rank;
    recent += there.recent;
    gap += there.gap;
    run += there.run;
  }

  long ofStretch(long number) {
    return session + number;
  }

  long ofPlace(long number) {
    return rank + number;
  }

  long ofReadings(long number) {
    return recent + number;
  }

  long ofGap(long number) {
    return gap + number;
  }

  /** A run of the daemon by its number in an empty log; 0, of what no run heard, stays. */
  public long ofRun(long number) {
    return number == 0 ? 0 : run + number;
  }

  public long nextSession() {
    return ++session;
  }

  /** The next place in the order of happening. */
  public long nextRank() {
    return ++rank;
  }

  public long nextRecent() {
    return ++recent;
  }

  /** Leaves numbers of rows of readings out, up to one that is taken. */
  public void skipRecent(long taken) {
    recent = Math.max(recent, taken);
  }

  public long nextGap() {
    return ++gap;
  }
}
