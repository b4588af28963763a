package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.codec.BlockCodec;
import org.cellherd.store.codec.BlockDamaged;
import org.cellherd.store.sql.Database;

/** Makes two stretches of one; all its readings lie in blocks. Inside a transaction. */
final class StretchCut {

  private static final String WITHIN =
      " WHERE pack = ? AND session = ? AND start_ms >= ? AND start_ms < ?";

  private final Connection connection;
  private final FreeNumbers numbers;
  private final String pack;

  StretchCut(Connection connection, FreeNumbers numbers, String pack) {
    this.connection = connection;
    this.numbers = numbers;
    this.pack = pack;
  }

  /**
   * Readings from a time on go into a stretch of their own, right behind.
   *
   * @throws StorageFailure {@code REFUSED} when the hour of that time cannot be parted
   */
  void at(DatedStretch stretch, long timeMs) throws SQLException, StorageFailure {
    long next = begin(stretch, timeMs);
    part(stretch, next, timeMs);
    for (String rows : new String[] {"block", "hour"}) {
      move(rows + " SET session = ? WHERE pack = ? AND session = ?", next, stretch, timeMs);
    }
    Database.update(
        connection,
        "UPDATE gap SET session = ?1 WHERE pack = ?2 AND session = ?3"
            + " AND (after_ms >= ?4 OR from_ms >= ?4)",
        next,
        pack,
        stretch.id(),
        timeMs);
    Database.update(
        connection,
        "UPDATE session SET start_ms = ?2, from_ms = ?2 WHERE id = ?1",
        next,
        Database.number(connection, "SELECT min(start_ms) FROM block WHERE session = ?", next)
            .orElse(timeMs));
    new DayRows(connection).rebuild(pack, stretch.id());
    new DayRows(connection).rebuild(pack, next);
  }

  private void move(String what, long next, DatedStretch stretch, long timeMs) throws SQLException {
    Database.update(
        connection, "UPDATE " + what + " AND start_ms >= ?", next, pack, stretch.id(), timeMs);
  }

  private long begin(DatedStretch stretch, long timeMs) throws SQLException {
    long next = numbers.nextSession();
    // The highest rank moves up with the others.
    numbers.nextRank();
    Database.update(
        connection, "UPDATE session SET rank = rank + 1 WHERE rank > ?", stretch.rank());
    Database.update(
        connection,
        "INSERT INTO session(id, pack, rank, run, kind, start_ms, from_ms, clock_sure, clean,"
            + " ended) SELECT ?1, pack, rank + 1, run, 'plain', ?2, ?2, clock_sure, 1, ended"
            + " FROM session WHERE id = ?3",
        next,
        timeMs,
        stretch.id());
    return next;
  }

  /** The hour that the cut goes through is made anew on both sides. */
  private void part(DatedStretch stretch, long next, long timeMs)
      throws SQLException, StorageFailure {
    OptionalLong hour = hour("max(start_ms)", "start_ms < ?", stretch, timeMs);
    if (hour.isEmpty()) {
      return;
    }
    long from = hour.getAsLong();
    Object[] within = {
      pack,
      stretch.id(),
      from,
      hour("min(start_ms)", "start_ms > ?", stretch, from).orElse(Long.MAX_VALUE)
    };
    List<Reading> before = new ArrayList<>();
    List<Reading> after = new ArrayList<>();
    for (Reading reading : readings(within, timeMs)) {
      (reading.timeMs() < timeMs ? before : after).add(reading);
    }
    if (before.isEmpty() && from + PackStream.HOUR_MS > timeMs && after.isEmpty()) {
      throw unknown(timeMs);
    }
    if (!after.isEmpty()) {
      Database.update(connection, "DELETE FROM block" + WITHIN, within);
      Database.update(connection, "DELETE FROM hour" + WITHIN, within);
      write(stretch.id(), before);
      write(next, after);
    }
  }

  private OptionalLong hour(String which, String where, DatedStretch stretch, long timeMs)
      throws SQLException {
    String sql = "SELECT " + which + " FROM hour WHERE pack = ? AND session = ? AND " + where;
    return Database.number(connection, sql, pack, stretch.id(), timeMs);
  }

  private List<Reading> readings(Object[] within, long timeMs) throws SQLException, StorageFailure {
    List<Reading> readings = new ArrayList<>();
    String sql =
        "SELECT " + ReadingsRow.COLUMNS + " FROM block" + WITHIN + " ORDER BY start_ms, id";
    try {
      Database.each(
          connection, sql, row -> readings.addAll(ReadingsRow.of(row).readings()), within);
    } catch (BlockDamaged damaged) {
      throw unknown(timeMs);
    }
    return readings;
  }

  private static StorageFailure unknown(long timeMs) {
    return new StorageFailure(
        Kind.REFUSED,
        "the single readings of the hour around "
            + Instant.ofEpochMilli(timeMs)
            + " are damaged or no longer kept; begin and end at a full hour (UTC)");
  }

  private void write(long stretch, List<Reading> readings) throws SQLException {
    for (int i = 0; i < readings.size(); i += BlockCodec.MAX_READINGS) {
      int end = Math.min(readings.size(), i + BlockCodec.MAX_READINGS);
      new HourOfReadings(pack, stretch, readings.subList(i, end)).write(connection);
    }
  }
}
