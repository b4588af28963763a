package org.cellherd.store.salvage;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.cellherd.store.codec.BlockDamaged;
import org.cellherd.store.codec.BlockReader;
import org.cellherd.store.rows.DayRows;
import org.cellherd.store.rows.GapRow;
import org.cellherd.store.rows.HourSums;
import org.cellherd.store.rows.PackStream;
import org.cellherd.store.rows.ReadingsRow;
import org.cellherd.store.sql.Database;

/** Makes a salvaged file consistent again: gaps where blocks were lost, statistics from blocks. */
public final class SalvageRepairs {

  /** Missed polls of a second or a few; the line would have told a gap by then. */
  private static final long SHORTEST_HOLE_MS = 30_000;

  /** So many times the usual distance of readings is more than a missed poll or two. */
  private static final long MOST_PACES = 4;

  private static final String HOLES =
      "SELECT * FROM (SELECT "
          + ReadingsRow.COLUMNS
          + ", lead(start_ms) OVER (PARTITION BY pack, session ORDER BY start_ms) AS next_ms FROM"
          + " (SELECT "
          + ReadingsRow.COLUMNS
          + " FROM block UNION ALL SELECT "
          + ReadingsRow.COLUMNS
          + " FROM recent)) AS r WHERE next_ms - end_ms > ? AND NOT EXISTS (SELECT 1 FROM gap g"
          + " WHERE g.pack = r.pack AND g.session = r.session AND g.after_ms = r.end_ms)";

  /** Behind those of {@link ReadingsRow#COLUMNS}. */
  private static final int NEXT_COLUMN = 8;

  private final Connection connection;

  /** Works on the new file, inside a transaction. */
  public SalvageRepairs(Connection connection) {
    this.connection = connection;
  }

  /** Repairs what the walk found broken. */
  public void apply(boolean statisticsBroken) throws SQLException {
    new LostStretches(connection).restore();
    tellHoles();
    if (statisticsBroken) {
      addMissingHours();
      new DayRows(connection).rebuildAll();
    }
  }

  /**
   * Adds a gap of unknown cause wherever two neighbouring rows of readings lie further apart than
   * the readings themselves and nothing says why. Doing it twice adds nothing.
   */
  public void tellHoles() throws SQLException {
    // Numbers below zero: the writer that waits for this file hands out the ones above.
    long id = Math.min(0, Database.number(connection, "SELECT min(id) FROM gap").orElse(0));
    List<GapRow> gaps = new ArrayList<>();
    try (PreparedStatement statement = Database.prepare(connection, HOLES, SHORTEST_HOLE_MS);
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        ReadingsRow before = ReadingsRow.of(row);
        long next = row.getLong(NEXT_COLUMN);
        if (next - before.endMs() > MOST_PACES * pace(before)) {
          Gap gap = new Gap(before.endMs(), next, Gap.Cause.UNKNOWN);
          gaps.add(new GapRow(--id, before.pack(), before.session(), before.endMs(), gap));
        }
      }
    }
    for (GapRow gap : gaps) {
      gap.write(connection);
    }
  }

  /** Mean time between the readings of a row, ms. */
  private static long pace(ReadingsRow row) {
    return (row.endMs() - row.startMs()) / Math.max(1, row.count() - 1);
  }

  /** Computes hours anew that have fewer rows than their first reading has channels. */
  private void addMissingHours() throws SQLException {
    Map<String, Long> rows = rowsOfHours();
    String blocks =
        "SELECT " + ReadingsRow.COLUMNS + " FROM block ORDER BY pack, session, start_ms";
    try (PreparedStatement statement = connection.prepareStatement(blocks);
        ResultSet row = statement.executeQuery()) {
      HourSums sums = new HourSums();
      ReadingsRow head = null;
      while (row.next()) {
        ReadingsRow block = ReadingsRow.of(row);
        if (head != null && !sameHour(head, block)) {
          sums.writeMissing(connection, head.pack(), head.session(), head.startMs());
          sums = new HourSums();
          head = null;
        }
        if (head != null || rows.getOrDefault(key(block), 0L) < channels(block)) {
          readable(block).forEach(sums::add);
          head = block;
        }
      }
      if (head != null) {
        sums.writeMissing(connection, head.pack(), head.session(), head.startMs());
      }
    }
  }

  private Map<String, Long> rowsOfHours() throws SQLException {
    Map<String, Long> rows = new HashMap<>();
    String sql =
        "SELECT pack, session, start_ms, count(*) FROM hour GROUP BY pack, session, start_ms";
    try (PreparedStatement statement = connection.prepareStatement(sql);
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        rows.put(key(row.getString(1), row.getLong(2), row.getLong(3)), row.getLong(4));
      }
    }
    return rows;
  }

  private static int channels(ReadingsRow block) {
    try {
      HourSums first = new HourSums();
      first.add(new BlockReader(block.packed(), block.startMs()).next());
      return first.channels();
    } catch (BlockDamaged e) {
      return 0;
    }
  }

  private static String key(ReadingsRow block) {
    long hour = Math.floorDiv(block.startMs(), PackStream.HOUR_MS) * PackStream.HOUR_MS;
    return key(block.pack(), block.session(), hour);
  }

  private static String key(String pack, long session, long startMs) {
    return pack + ' ' + session + ' ' + startMs;
  }

  private static boolean sameHour(ReadingsRow a, ReadingsRow b) {
    return a.pack().equals(b.pack())
        && a.session() == b.session()
        && Math.floorDiv(a.startMs(), PackStream.HOUR_MS)
            == Math.floorDiv(b.startMs(), PackStream.HOUR_MS);
  }

  private static List<Reading> readable(ReadingsRow block) {
    try {
      return block.readings();
    } catch (BlockDamaged e) {
      return List.of();
    }
  }
}
