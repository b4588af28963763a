package org.cellherd.store;

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

/** Makes a salvaged file consistent again: gaps where blocks were lost, statistics from blocks. */
final class SalvageRepairs {

  /** A hole between two blocks shorter than this may be a slow board's usual pace. */
  private static final long HOLE_MS = 1_800_000;

  private final Connection connection;

  SalvageRepairs(Connection connection) {
    this.connection = connection;
  }

  void apply(boolean statisticsBroken, boolean blocksLost) throws SQLException {
    if (blocksLost) {
      tellHoles();
    }
    if (statisticsBroken) {
      addMissingHours();
      new DayRows(connection).rebuildAll();
    }
  }

  /** Adds a gap of unknown cause where row numbers are missing between two blocks. */
  private void tellHoles() throws SQLException {
    String sql =
        "SELECT a.pack, a.session, a.end_ms, min(b.start_ms) FROM block a JOIN block b"
            + " ON b.pack = a.pack AND b.session = a.session AND b.start_ms > a.start_ms"
            + " WHERE NOT EXISTS (SELECT 1 FROM block n WHERE n.id = a.id + 1)"
            + " GROUP BY a.id";
    // Numbers below zero: the writer that waits for this file hands out the ones above.
    long id = Math.min(0, Database.number(connection, "SELECT min(id) FROM gap").orElse(0));
    List<GapRow> gaps = new ArrayList<>();
    try (PreparedStatement statement = connection.prepareStatement(sql);
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        long end = row.getLong(3);
        long next = row.getLong(4);
        if (next - end > HOLE_MS) {
          Gap gap = new Gap(end, next, Gap.Cause.UNKNOWN);
          gaps.add(new GapRow(--id, row.getString(1), row.getLong(2), end, gap));
        }
      }
    }
    for (GapRow gap : gaps) {
      gap.write(connection);
    }
  }

  /** Computes hours anew whose rows are fewer than the pack's fullest hour has. */
  private void addMissingHours() throws SQLException {
    Map<String, Long> rows = new HashMap<>();
    Map<String, Long> most = new HashMap<>();
    String sql =
        "SELECT pack, session, start_ms, count(*) FROM hour GROUP BY pack, session, start_ms";
    try (PreparedStatement statement = connection.prepareStatement(sql);
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        long count = row.getLong(4);
        rows.put(key(row.getString(1), row.getLong(2), row.getLong(3)), count);
        most.merge(row.getString(1), count, Math::max);
      }
    }
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
        long start = Math.floorDiv(block.startMs(), PackStream.HOUR_MS) * PackStream.HOUR_MS;
        long have = rows.getOrDefault(key(block.pack(), block.session(), start), 0L);
        if (have < most.getOrDefault(block.pack(), 1L)) {
          readable(block).forEach(sums::add);
          head = block;
        }
      }
      if (head != null) {
        sums.writeMissing(connection, head.pack(), head.session(), head.startMs());
      }
    }
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
