package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.pack.SessionStart.Before;
import org.cellherd.store.sql.Database;

/**
 * Finds stretches whose readings were saved and whose own row was not: without it nobody would see
 * the readings again, and its number would be given to another run.
 */
final class LostStretches {

  private static final String ORPHANS =
      "SELECT pack, session, min(start_ms) FROM (SELECT pack, session, start_ms FROM block"
          + " UNION ALL SELECT pack, session, start_ms FROM recent)"
          + " WHERE session NOT IN (SELECT id FROM session) GROUP BY pack, session"
          + " ORDER BY session";

  private final Connection connection;

  LostStretches(Connection connection) {
    this.connection = connection;
  }

  private record Orphan(String pack, long session, long startMs) {}

  /** Gives each of them a row at its place. */
  void restore() throws SQLException {
    List<Orphan> orphans =
        Database.rows(
            connection,
            ORPHANS,
            row -> new Orphan(row.getString(1), row.getLong(2), row.getLong(3)));
    for (Orphan orphan : orphans) {
      anchor(orphan).write(connection);
    }
  }

  /**
   * Between its neighbours by number, as the start of a run, whether one is missing there or not:
   * that claims the least of what was between. What was imported before any run begins as that.
   */
  private LogSession anchor(Orphan orphan) throws SQLException {
    String before = " FROM session WHERE id < " + orphan.session();
    long rank = number("SELECT max(rank)" + before) + 1;
    long run = number("SELECT max(run)" + before);
    Database.update(
        connection,
        "UPDATE session SET rank = rank + 1 WHERE rank >= ?1"
            + " AND EXISTS (SELECT 1 FROM session WHERE rank = ?1)",
        rank);
    boolean isOtherRun =
        Database.number(
                    connection,
                    "SELECT min(run) FROM session WHERE run > 0 AND id > ?",
                    orphan.session())
                .orElse(Long.MAX_VALUE)
            > run + 1;
    return new LogSession(
        orphan.session(),
        orphan.pack(),
        rank,
        isOtherRun ? run + 1 : run,
        isOtherRun || run > 0 ? LogSession.Kind.START : LogSession.Kind.PLAIN,
        orphan.startMs(),
        orphan.startMs(),
        false,
        Before.CUT);
  }

  private long number(String sql) throws SQLException {
    return Database.number(connection, sql).orElse(0);
  }
}
