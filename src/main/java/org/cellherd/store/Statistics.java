package org.cellherd.store;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Gap;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.Database;

/** Hours and days of years, without touching the readings themselves. Any thread. */
public final class Statistics {
  private final Database database;
  private final Asked asked;

  Statistics(Database database, Asked asked) {
    this.database = database;
    this.asked = asked;
  }

  /** Packs that have anything in the log, by name. */
  public List<String> packs() throws StorageFailure {
    String sql = "SELECT DISTINCT pack FROM session ORDER BY pack";
    return database.read(c -> Database.rows(c, sql, row -> row.getString(1)));
  }

  /** Hours of a channel with {@code fromMs <= start < toMs}, oldest first. Masks have none. */
  public List<Summary> hourStatistics(String pack, Channel channel, long fromMs, long toMs)
      throws StorageFailure {
    return rows(SealedTable.HOUR, pack, channel, fromMs, toMs);
  }

  /** Days (UTC) of a channel with {@code fromMs <= start < toMs}, oldest first. */
  public List<Summary> dayStatistics(String pack, Channel channel, long fromMs, long toMs)
      throws StorageFailure {
    return rows(SealedTable.DAY, pack, channel, fromMs, toMs);
  }

  /** Silences of a pack that touch {@code fromMs <= t < toMs}, by their start. */
  public List<Gap> gaps(String pack, long fromMs, long toMs) throws StorageFailure {
    asked.take(SealedTable.GAP, pack, fromMs, toMs);
    String sql =
        "SELECT %s FROM gap WHERE pack = ? AND to_ms > ? AND from_ms < ? ORDER BY from_ms, to_ms"
            .formatted(GapRow.COLUMNS);
    return database.read(
        c -> Database.rows(c, sql, row -> GapRow.of(row).gap(), pack, fromMs, toMs));
  }

  private List<Summary> rows(
      SealedTable table, String pack, Channel channel, long fromMs, long toMs)
      throws StorageFailure {
    asked.take(table, pack, fromMs, toMs);
    String sql =
        "SELECT start_ms, count, min, mean, max, first, last FROM "
            + table.table()
            + " WHERE pack = ? AND channel = ? AND start_ms >= ? AND start_ms < ?"
            + " ORDER BY start_ms, session";
    return database.read(
        c ->
            Database.rows(c, sql, Statistics::statistic, pack, channel.columnName(), fromMs, toMs));
  }

  private static Summary statistic(ResultSet row) throws SQLException {
    return new Summary(
        row.getLong(1),
        row.getLong(2),
        row.getLong(3),
        row.getDouble(4),
        row.getLong(5),
        row.getLong(6),
        row.getLong(7));
  }

  /**
   * One hour or day of one channel, in the channel's stored unit.
   *
   * @param startMs start of the hour or day, ms UTC; off the full hour only where the stretch was
   *     re-timed
   * @param count how many readings had a value
   * @param min lowest
   * @param mean arithmetic mean
   * @param max highest
   * @param first first value
   * @param last last value
   */
  public record Summary(
      long startMs, long count, long min, double mean, long max, long first, long last) {}
}
