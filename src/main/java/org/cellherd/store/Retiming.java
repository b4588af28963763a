package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.cellherd.store.sql.Database;

/** Moves the stretches of one run onto the clock of its newest stretch. */
final class Retiming {

  private final Connection connection;
  private final long run;

  /** Works on one run, inside a transaction. */
  public Retiming(Connection connection, long run) {
    this.connection = connection;
    this.run = run;
  }

  /** Moves the stretches of every pack. */
  public void apply() throws SQLException {
    // States of this run hold times by the wrong clock.
    Database.update(
        connection,
        "DELETE FROM snapshot WHERE session IN (SELECT id FROM session WHERE run = ?)",
        run);
    Set<String> done = new HashSet<>();
    List<LogSession> newestFirst =
        Database.rows(
            connection,
            "SELECT " + LogSession.COLUMNS + " FROM session WHERE run = ? ORDER BY rank DESC",
            LogSession::of,
            run);
    for (LogSession anchor : newestFirst) {
      if (done.add(anchor.pack())) {
        shiftPack(newestFirst.stream().filter(a -> a.pack().equals(anchor.pack())).toList());
      }
    }
  }

  private void shiftPack(List<LogSession> newestFirst) throws SQLException {
    String pack = newestFirst.get(0).pack();
    List<LogSession> before = LogSession.of(connection, pack);
    Map<Long, Long> offsets = new HashMap<>();
    long shift = 0;
    for (LogSession anchor : newestFirst) {
      if (shift != 0) {
        new Shift(connection, anchor.pack(), anchor.id()).by(shift);
      }
      long start = anchor.startMs() + shift;
      Database.update(
          connection,
          "UPDATE session SET start_ms = ?, from_ms = ?, clock_sure = 1 WHERE id = ?",
          start,
          start,
          anchor.id());
      offsets.put(anchor.id(), shift);
      shift += anchor.startMs() - anchor.fromMs();
    }
    new ToldTimes(connection, pack, before, offsets).shift();
  }
}
