package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import org.cellherd.store.codec.BlockCodec;
import org.cellherd.store.sql.Database;

/**
 * How many readings an hour has brought so far: a row of table {@code heard}, until the hour is
 * packed and its statistics tell. It lies elsewhere in the file than the readings do.
 *
 * @param startMs start of the hour, ms UTC
 * @param fromMs time of the first reading, ms UTC
 * @param toMs time of the last one, ms UTC
 */
record Heard(String pack, long session, long startMs, long count, long fromMs, long toMs)
    implements WaitingRow {

  /** What one row of readings brings. */
  public static Heard of(ReadingsRow row) {

    int count = BlockCodec.count(row.packed());
    return new Heard(row.pack(), row.session(), row.hourMs(), count, row.startMs(), row.endMs());
  }

  /** True when another is of the same hour of the same stretch. */
  public boolean isSameHour(Heard other) {
    return pack.equals(other.pack) && session == other.session && startMs == other.startMs;
  }

  /** Both together. */
  public Heard and(Heard more) {
    return new Heard(
        pack,
        session,
        startMs,
        count + more.count,
        Math.min(fromMs, more.fromMs),
        Math.max(toMs, more.toMs));
  }

  /** Without some readings that will never be stored. */
  public Heard without(Heard dropped) {
    return new Heard(pack, session, startMs, count - dropped.count, fromMs, toMs);
  }

  /** Adds to what the log says of that hour. */
  public void addTo(Connection connection) throws SQLException {
    Database.update(
        connection,
        "INSERT INTO heard VALUES (?,?,?,?,?,?) ON CONFLICT(pack, session, start_ms) DO UPDATE"
            + " SET count = count + excluded.count, from_ms = min(from_ms, excluded.from_ms),"
            + " to_ms = max(to_ms, excluded.to_ms)",
        pack,
        session,
        startMs,
        count,
        fromMs,
        toMs);
  }

  /** Forgets the hour of a row: it is packed now. */
  static void forget(Connection connection, ReadingsRow row) throws SQLException {
    Heard hour = of(row);
    Database.update(
        connection,
        "DELETE FROM heard WHERE pack = ? AND session = ? AND start_ms = ?",
        hour.pack,
        hour.session,
        hour.startMs);
  }

  @Override
  public Heard behind(FreeNumbers there) {
    return new Heard(pack, there.ofStretch(session), startMs, count, fromMs, toMs);
  }

  @Override
  public void write(Connection connection) throws SQLException {
    Database.update(
        connection,
        "INSERT OR REPLACE INTO heard VALUES (?,?,?,?,?,?)",
        pack,
        session,
        startMs,
        count,
        fromMs,
        toMs);
  }

  @Override
  public int bytes() {
    return 100;
  }
}
