package org.cellherd.store;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.SessionStart.Before;
import org.cellherd.pack.Worded;
import org.cellherd.store.sql.Database;

/**
 * A stretch of one pack's log with one clock: a row of table {@code session}. Within it times never
 * go back.
 *
 * @param id the number that blocks, gaps and statistics name in their column {@code session}
 * @param pack the pack's id
 * @param rank place among all stretches, in order of happening
 * @param run number of the daemon's run, 0 for imported readings
 * @param kind how it began
 * @param startMs when it began, ms UTC
 * @param fromMs a clock step's same instant by the old clock; else equal to {@code startMs}
 * @param clockSure false when the wall clock could not be trusted
 * @param before how what came before ended
 */
record LogSession(
    long id,
    String pack,
    long rank,
    long run,
    Kind kind,
    long startMs,
    long fromMs,
    boolean clockSure,
    Before before)
    implements WaitingRow {

  /** How a stretch began. */
  public enum Kind implements Worded {
    /** A run of the daemon began. */
    START,
    /** The wall clock was set. */
    STEP,
    /** Readings came without a start being told, by import or with a time that went back. */
    PLAIN;
  }

  /** What {@link #of} reads, in its order. */
  public static final String COLUMNS =
      "id, pack, rank, run, kind, start_ms, from_ms, clock_sure, clean";

  /** The stretches of a pack, in order of happening. */
  public static List<LogSession> of(Connection connection, String pack) throws SQLException {
    String sql = "SELECT " + COLUMNS + " FROM session WHERE pack = ? ORDER BY rank";
    return Database.rows(connection, sql, LogSession::of, pack);
  }

  /** The stretch of a row that selected {@link #COLUMNS}. */
  public static LogSession of(ResultSet row) throws SQLException {
    return new LogSession(
        row.getLong(1),
        row.getString(2),
        row.getLong(3),
        row.getLong(4),
        kind(row.getString(5)),
        row.getLong(6),
        row.getLong(7),
        row.getInt(8) != 0,
        Before.of(row.getInt(9)));
  }

  private static Kind kind(String word) {
    return Worded.find(Kind.values(), word).orElse(Kind.PLAIN);
  }

  /** The log entry that began this stretch, if one was told. */
  public Optional<LogEntry> entry() {
    return switch (kind) {
      case START -> Optional.of(new SessionStart(startMs, run, clockSure, before));
      case STEP -> Optional.of(new ClockStep(fromMs, startMs));
      case PLAIN -> Optional.empty();
    };
  }

  @Override
  public LogSession behind(FreeNumbers there) {
    return new LogSession(
        there.ofStretch(id),
        pack,
        there.ofPlace(rank),
        there.ofRun(run),
        kind,
        startMs,
        fromMs,
        clockSure,
        before);
  }

  @Override
  public void write(Connection connection) throws SQLException {
    Database.update(
        connection,
        "INSERT OR REPLACE INTO session(" + COLUMNS + ") VALUES (?,?,?,?,?,?,?,?,?)",
        id,
        pack,
        rank,
        run,
        kind.word(),
        startMs,
        fromMs,
        clockSure,
        before.number());
  }

  @Override
  public int bytes() {
    return 100;
  }
}
