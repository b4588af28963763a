package org.cellherd.store.salvage;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.cellherd.store.codec.BlockDamaged;
import org.cellherd.store.loss.Loss;
import org.cellherd.store.rows.GapRow;
import org.cellherd.store.rows.PackStream;
import org.cellherd.store.rows.ReadingsRow;
import org.cellherd.store.sql.Database;

/** Finds where rows of readings are missing in the middle of a stretch, and says so in the log. */
public final class Holes {

  /** Missed polls of a second or a few; the line would have told a gap by then. */
  private static final long SHORTEST_MS = 30_000;

  /** So many times the usual distance of readings is more than a missed poll or two. */
  private static final long MOST_PACES = 4;

  /** How far around a hole the usual distance of readings is looked for. */
  private static final long AROUND_MS = 3 * PackStream.HOUR_MS;

  private static final String ROWS =
      "(SELECT "
          + ReadingsRow.COLUMNS
          + " FROM block UNION ALL SELECT "
          + ReadingsRow.COLUMNS
          + " FROM recent)";

  private static final String CANDIDATES =
      "SELECT * FROM (SELECT "
          + ReadingsRow.COLUMNS
          + ", lead(start_ms) OVER (PARTITION BY pack, session ORDER BY start_ms) AS next_ms FROM "
          + ROWS
          + ") AS r WHERE next_ms - end_ms > ? AND next_ms >= ? AND NOT EXISTS (SELECT 1 FROM gap g"
          + " WHERE g.pack = r.pack AND g.session = r.session AND g.after_ms = r.end_ms)";

  private static final String NEIGHBOURS =
      "SELECT "
          + ReadingsRow.COLUMNS
          + " FROM "
          + ROWS
          + " WHERE pack = ? AND session = ? AND end_ms > ? AND start_ms < ? ORDER BY start_ms";

  /** Behind those of {@link ReadingsRow#COLUMNS}. */
  private static final int NEXT_COLUMN = 8;

  private final Connection connection;

  /** Works inside a transaction. */
  public Holes(Connection connection) {
    this.connection = connection;
  }

  private record Candidate(String pack, long session, long fromMs, long toMs) {
    long lengthMs() {
      return toMs - fromMs;
    }

    Loss loss(long paceMs) {
      OptionalLong readings =
          paceMs <= 0
              ? OptionalLong.empty()
              : OptionalLong.of(Math.max(1, Math.round((double) lengthMs() / paceMs) - 1));
      return new Loss(pack, fromMs, toMs, readings, false, "their rows are missing in the log");
    }
  }

  /**
   * Adds a gap of unknown cause wherever two neighbouring rows of readings lie further apart than
   * the readings around them and nothing says why. Doing it twice adds nothing.
   *
   * @return what is missing there
   */
  public List<Loss> tell() throws SQLException {
    return tell(candidates(SHORTEST_MS, Long.MIN_VALUE));
  }

  /** The same from a time on, where rows are known to be missing: shorter ones count, too. */
  List<Loss> tellSince(long sinceMs) throws SQLException {
    return tell(candidates(0, sinceMs));
  }

  /** The same between the readings of one row, for when gaps were lost: reads the whole log. */
  public void tellInside() throws SQLException {
    // Their readings were never there: nothing is lost but the word why.
    tell(candidatesInside());
  }

  private List<Loss> tell(List<Candidate> candidates) throws SQLException {
    List<Loss> losses = new ArrayList<>();
    // Numbers below zero: the writer that waits for this file hands out the ones above.
    long id = Math.min(0, Database.number(connection, "SELECT min(id) FROM gap").orElse(0));
    for (Candidate hole : candidates) {
      long pace = paceAround(hole);
      if (hole.lengthMs() > MOST_PACES * pace) {
        Gap gap = new Gap(hole.fromMs(), hole.toMs(), Gap.Cause.UNKNOWN);
        new GapRow(--id, hole.pack(), hole.session(), hole.fromMs(), gap).write(connection);
        losses.add(hole.loss(pace));
      }
    }
    return losses;
  }

  private List<Candidate> candidates(long shortestMs, long sinceMs) throws SQLException {
    List<Candidate> found = new ArrayList<>();
    try (PreparedStatement statement =
            Database.prepare(connection, CANDIDATES, shortestMs, sinceMs);
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        ReadingsRow before = ReadingsRow.of(row);
        long next = row.getLong(NEXT_COLUMN);
        found.add(new Candidate(before.pack(), before.session(), before.endMs(), next));
      }
    }
    return found;
  }

  private List<Candidate> candidatesInside() throws SQLException {
    List<Candidate> found = new ArrayList<>();
    try (PreparedStatement statement = Database.prepare(connection, "SELECT * FROM " + ROWS);
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        ReadingsRow rows = ReadingsRow.of(row);
        List<Long> times = times(rows);
        long least = leastInside(times);
        for (int i = 1; i < times.size(); i++) {
          Candidate hole =
              new Candidate(rows.pack(), rows.session(), times.get(i - 1), times.get(i));
          if (hole.lengthMs() > least && !isTold(hole)) {
            found.add(hole);
          }
        }
      }
    }
    return found;
  }

  /** What the row itself shows to be its usual distance is looked at no further. */
  private static long leastInside(List<Long> times) {
    long pace = 0;
    for (int i = 1; i < times.size() && times.size() > 2; i++) {
      long step = times.get(i) - times.get(i - 1);
      pace = i == 1 ? step : Math.min(pace, step);
    }
    return Math.max(SHORTEST_MS, MOST_PACES * pace);
  }

  private boolean isTold(Candidate hole) throws SQLException {
    String sql = "SELECT count(*) FROM gap WHERE pack = ? AND session = ? AND after_ms = ?";
    return Database.number(connection, sql, hole.pack(), hole.session(), hole.fromMs()).orElse(0)
        > 0;
  }

  /**
   * Shortest time between two readings near a hole, ms; 0 when there are no two. Not the mean of
   * one row: that may hold two readings and an hour of silence.
   */
  private long paceAround(Candidate hole) throws SQLException {
    long shortest = Long.MAX_VALUE;
    long last = Long.MIN_VALUE;
    try (PreparedStatement statement =
            Database.prepare(
                connection,
                NEIGHBOURS,
                hole.pack(),
                hole.session(),
                hole.fromMs() - AROUND_MS,
                hole.toMs() + AROUND_MS);
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        for (long timeMs : times(ReadingsRow.of(row))) {
          if (last != Long.MIN_VALUE && last != hole.fromMs()) {
            shortest = Math.min(shortest, timeMs - last);
          }
          last = timeMs;
        }
      }
    }
    return shortest == Long.MAX_VALUE ? 0 : shortest;
  }

  /** Times of a row's readings; only its ends where it is damaged. */
  private static List<Long> times(ReadingsRow row) {
    try {
      return row.readings().stream().map(Reading::timeMs).toList();
    } catch (BlockDamaged e) {
      return List.of(row.startMs(), row.endMs());
    }
  }
}
