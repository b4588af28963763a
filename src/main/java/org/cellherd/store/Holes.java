package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import org.cellherd.pack.Reading;
import org.cellherd.store.codec.BlockDamaged;
import org.cellherd.store.sql.Database;

/** Finds where rows of readings are missing in the middle of a stretch, and says so in the log. */
final class Holes {

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

  private static final String STRETCHES =
      "SELECT pack, id, start_ms, start_ms FROM session ORDER BY rank";

  private static final String PAUSES =
      "SELECT pack, session, end_ms, next_ms FROM (SELECT pack, session, end_ms,"
          + " lead(start_ms) OVER (PARTITION BY pack, session ORDER BY start_ms) AS next_ms FROM "
          + ROWS
          + ") AS r WHERE next_ms - end_ms > ? AND NOT EXISTS (SELECT 1 FROM gap g"
          + " WHERE g.pack = r.pack AND g.session = r.session AND g.after_ms = r.end_ms)";

  /** Rows of the newest hours are numbered one by one: where numbers are missing, rows are. */
  private static final String LEAPS =
      "SELECT pack, session, from_ms, start_ms FROM (SELECT r.pack, r.session, r.id, r.start_ms,"
          + " lag(r.id) OVER stretch AS last_id, coalesce(lag(r.end_ms) OVER stretch, (SELECT"
          + " max(b.end_ms) FROM block b WHERE b.pack = r.pack AND b.session = r.session AND"
          + " b.start_ms < r.start_ms), s.start_ms) AS from_ms FROM recent r JOIN session s ON s.id"
          + " = r.session WINDOW stretch AS (PARTITION BY r.pack, r.session ORDER BY r.id)) AS l"
          + " WHERE start_ms >= ? AND (CASE WHEN last_id IS NULL THEN NOT EXISTS (SELECT 1 FROM"
          + " recent WHERE id = l.id - 1) ELSE (SELECT count(*) FROM recent WHERE id > last_id AND"
          + " id < l.id) < l.id - last_id - 1 END) AND NOT EXISTS (SELECT 1 FROM gap g WHERE g.pack"
          + " = l.pack AND g.session = l.session AND g.to_ms > l.from_ms AND g.from_ms <"
          + " l.start_ms)";

  private static final String NEIGHBOURS =
      "SELECT "
          + ReadingsRow.COLUMNS
          + " FROM "
          + ROWS
          + " WHERE pack = ? AND session = ? AND end_ms > ? AND start_ms < ? ORDER BY start_ms";

  private final Connection connection;

  /** Works inside a transaction. */
  public Holes(Connection connection) {
    this.connection = connection;
  }

  /** Time between two readings on either side of a hole, ms; 0 where there are no two. */
  private record Pace(long beforeMs, long afterMs) {
    long least() {
      return beforeMs == 0 || afterMs == 0 ? beforeMs + afterMs : Math.min(beforeMs, afterMs);
    }

    double mean() {
      return beforeMs == 0 || afterMs == 0 ? beforeMs + afterMs : (beforeMs + afterMs) / 2.0;
    }
  }

  private record Candidate(String pack, long session, long fromMs, long toMs) {
    long lengthMs() {
      return toMs - fromMs;
    }

    Loss loss(Pace pace) {
      OptionalLong readings =
          pace.mean() <= 0
              ? OptionalLong.empty()
              : OptionalLong.of(Math.max(1, Math.round(lengthMs() / pace.mean()) - 1));
      return new Loss(pack, fromMs, toMs, readings, false, "their rows are missing from the log");
    }
  }

  /**
   * Adds a gap of unknown cause wherever readings are missing and nothing says so. What the log
   * knows of its hours tells how many; where it knows nothing of an hour any more, the pace of the
   * readings around does. Doing it twice adds nothing.
   *
   * @param hoursKnown false when what was known of some hours is lost, too
   * @return what is missing there
   */
  public List<Loss> tell(boolean hoursKnown) throws SQLException {
    List<Loss> losses = new ArrayList<>();
    Map<Long, MissingReadings> known = new HashMap<>();
    for (Candidate stretch : read(STRETCHES)) {
      MissingReadings missing = new MissingReadings(connection, stretch.pack(), stretch.session());
      losses.addAll(missing.tell());
      known.put(stretch.session(), missing);
    }
    for (Candidate hole : read(PAUSES, SHORTEST_MS)) {
      Pace pace = paceAround(hole);
      MissingReadings hours = known.get(hole.session());
      boolean isQuiet = hours != null && hours.isQuiet(hole.fromMs(), hole.toMs(), hoursKnown);
      boolean isImported = hours != null && hours.isImported();
      if (hole.lengthMs() > MOST_PACES * pace.least() && !(isQuiet && isImported)) {
        write(hole);
        if (!isQuiet) {
          losses.add(hole.loss(pace));
        }
      }
    }
    return losses;
  }

  /** Readings that the log knows of and neither holds nor says to be missing; changes nothing. */
  public List<Loss> untold() throws SQLException {
    List<Loss> losses = new ArrayList<>();
    for (Candidate stretch : read(STRETCHES)) {
      losses.addAll(new MissingReadings(connection, stretch.pack(), stretch.session()).untold());
    }
    return losses;
  }

  /** The same from a time on by missing row numbers only, for rows that never reached the table. */
  List<Loss> tellLeaps(long sinceMs) throws SQLException {
    List<Loss> losses = new ArrayList<>();
    for (Candidate hole : read(LEAPS, sinceMs)) {
      Pace pace = paceAround(hole);
      if (hole.lengthMs() > MOST_PACES * pace.least()) {
        write(hole);
        losses.add(hole.loss(pace));
      }
    }
    return losses;
  }

  /** The same between the readings of one row, for when gaps were lost: reads the whole log. */
  public void tellInside() throws SQLException {
    for (Candidate hole : candidatesInside()) {
      // Their readings were never there: nothing is lost but the word why.
      if (hole.lengthMs() > MOST_PACES * paceAround(hole).least()) {
        write(hole);
      }
    }
  }

  private void write(Candidate hole) throws SQLException {
    GapRow.writeFound(
        connection, hole.pack(), hole.session(), hole.fromMs(), hole.fromMs(), hole.toMs());
  }

  private List<Candidate> read(String sql, Object... values) throws SQLException {
    return Database.rows(
        connection,
        sql,
        row -> new Candidate(row.getString(1), row.getLong(2), row.getLong(3), row.getLong(4)),
        values);
  }

  private List<Candidate> candidatesInside() throws SQLException {
    List<Candidate> found = new ArrayList<>();
    Database.each(
        connection, "SELECT * FROM " + ROWS, row -> addInside(ReadingsRow.of(row), found));
    return found;
  }

  private void addInside(ReadingsRow rows, List<Candidate> found) throws SQLException {
    List<Long> times = times(rows);
    long least = leastInside(times);
    for (int i = 1; i < times.size(); i++) {
      Candidate hole = new Candidate(rows.pack(), rows.session(), times.get(i - 1), times.get(i));
      if (hole.lengthMs() > least && !isTold(hole)) {
        found.add(hole);
      }
    }
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

  /** The pace of the readings on both sides of a hole; zero where no two are left. */
  private Pace paceAround(Candidate hole) throws SQLException {
    long before = 0;
    long after = 0;
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
      while (row.next() && after == 0) {
        for (long timeMs : times(ReadingsRow.of(row))) {
          if (last != Long.MIN_VALUE && timeMs <= hole.fromMs()) {
            before = timeMs - last;
          } else if (last >= hole.toMs() && after == 0) {
            after = timeMs - last;
          }
          last = timeMs;
        }
      }
    }
    return new Pace(before, after);
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
