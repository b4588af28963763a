package org.cellherd.store;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.List;
import java.util.OptionalLong;
import java.util.function.LongUnaryOperator;
import org.cellherd.store.sql.Database;

/**
 * Which readings of a pack get other times.
 *
 * @param pack the pack's id
 * @param stretch number of the one stretch that moves; empty for all readings of the span
 * @param fromMs the first time that moves, as the log has it, ms UTC
 * @param toMs times before this move, ms UTC
 * @param offsetMs gives what is added to every time, ms; asked with the time of the first reading
 *     that moves
 * @param byWhom who asks, kept in the log; may be empty
 * @param atMs when it is asked, ms UTC; no reading may come to lie after it
 */
public record Redating(
    String pack,
    OptionalLong stretch,
    long fromMs,
    long toMs,
    LongUnaryOperator offsetMs,
    String byWhom,
    long atMs) {

  /**
   * What was moved, or would be.
   *
   * @param readings how many
   * @param stretches of so many stretches
   * @param gaps gaps that moved with them
   * @param fromMs time of the first reading before, ms UTC
   * @param toMs time of the last one before, ms UTC
   * @param offsetMs what was added, ms
   */
  public record Done(
      long readings, int stretches, long gaps, long fromMs, long toMs, long offsetMs) {}

  /**
   * What the log keeps of times that were changed.
   *
   * @param atMs when that was, ms UTC
   * @param byWhom who asked, may be empty
   * @param what what was moved
   */
  public record Past(long atMs, String byWhom, Redating.Done what) {

    /** All of a pack, oldest first. */
    public static List<Past> of(Connection connection, String pack) throws SQLException {
      String sql =
          "SELECT at_ms, by, readings, stretches, gaps, from_ms, to_ms, offset_ms FROM redating"
              + " WHERE pack = ? ORDER BY id";
      return Database.rows(connection, sql, Past::of, pack);
    }

    private static Past of(ResultSet row) throws SQLException {
      Redating.Done what =
          new Redating.Done(
              row.getLong(3),
              row.getInt(4),
              row.getLong(5),
              row.getLong(6),
              row.getLong(7),
              row.getLong(8));
      return new Past(row.getLong(1), row.getString(2), what);
    }
  }
}
