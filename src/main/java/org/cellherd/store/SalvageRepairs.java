package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import org.cellherd.pack.Reading;
import org.cellherd.store.codec.BlockDamaged;
import org.cellherd.store.codec.BlockReader;
import org.cellherd.store.sql.Database;

/** Makes a salvaged file consistent again: gaps where blocks were lost, statistics from blocks. */
final class SalvageRepairs {

  private final Connection connection;

  /** Works on the new file, inside a transaction. */
  public SalvageRepairs(Connection connection) {
    this.connection = connection;
  }

  public void apply(boolean statisticsBroken, boolean gapsBroken) throws SQLException {
    returnToUnpackedHours();
    dropCoveredBlocks();
    // A disk that loses a commit halfway leaves the block beside the rows that went into it.
    Database.update(
        connection,
        "DELETE FROM recent WHERE EXISTS (SELECT 1 FROM block b WHERE b.pack = recent.pack"
            + " AND b.session = recent.session AND b.start_ms <= recent.start_ms"
            + " AND b.end_ms >= recent.end_ms)");
    new LostStretches(connection).restore();
    if (gapsBroken) {
      new Holes(connection).tellInside();
    }
    if (statisticsBroken) {
      addMissingHours();
      new DayRows(connection).rebuildAll();
    }
  }

  /**
   * A row of the newest minutes that lay about became a block; while its hour is not packed, that
   * counts it.
   */
  private void returnToUnpackedHours() throws SQLException {
    if (!DamagedRows.hasTable(connection, "heard")) {
      return;
    }
    String unpacked =
        " WHERE EXISTS (SELECT 1 FROM heard h WHERE h.pack = block.pack"
            + " AND h.session = block.session AND h.start_ms = block.start_ms - block.start_ms % "
            + PackStream.HOUR_MS
            + ")";
    String columns = ReadingsRow.COLUMNS;
    Database.update(
        connection,
        "INSERT OR IGNORE INTO recent("
            + columns
            + ") SELECT "
            + columns
            + " FROM block"
            + unpacked);
    Database.update(
        connection,
        "DELETE FROM block"
            + unpacked
            + " AND EXISTS (SELECT 1 FROM recent r WHERE r.id = block.id"
            + " AND r.pack = block.pack AND r.session = block.session"
            + " AND r.start_ms = block.start_ms AND r.end_ms = block.end_ms)");
  }

  /**
   * A row of the newest minutes that lay about became a block; where the block of its hour was
   * saved, too, that has the same readings.
   */
  private void dropCoveredBlocks() throws SQLException {
    List<Long> covered = new ArrayList<>();
    String blocks =
        "SELECT "
            + ReadingsRow.COLUMNS
            + " FROM block ORDER BY pack, session, start_ms, end_ms DESC, id";
    try (PreparedStatement statement = connection.prepareStatement(blocks);
        ResultSet row = statement.executeQuery()) {
      ReadingsRow widest = null;
      while (row.next()) {
        ReadingsRow block = ReadingsRow.of(row);
        boolean isSame =
            widest != null
                && widest.session() == block.session()
                && widest.pack().equals(block.pack());
        if (widest == null || !isSame || block.endMs() > widest.endMs()) {
          widest = block;
        } else if (!readable(block).isEmpty()
            && new HashSet<>(readable(widest)).containsAll(readable(block))) {
          covered.add(block.id());
        }
      }
    }
    for (long id : covered) {
      Database.update(connection, "DELETE FROM block WHERE id = ?", id);
    }
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
        if (head != null && !block.isOfHourOf(head)) {
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
    Database.each(
        connection,
        "SELECT pack, session, start_ms, count(*) FROM hour GROUP BY pack, session, start_ms",
        row -> rows.put(key(row.getString(1), row.getLong(2), row.getLong(3)), row.getLong(4)));
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
    return key(block.pack(), block.session(), block.hourMs());
  }

  private static String key(String pack, long session, long startMs) {
    return pack + ' ' + session + ' ' + startMs;
  }

  private static List<Reading> readable(ReadingsRow block) {
    try {
      return block.readings();
    } catch (BlockDamaged e) {
      return List.of();
    }
  }
}
