package org.cellherd.store;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Worded;
import org.cellherd.store.sql.Database;

/**
 * A row of table {@code gap}.
 *
 * @param id row number
 * @param pack the pack's id
 * @param session the stretch's number
 * @param afterMs the gap comes right behind the readings up to this time; the lowest number when it
 *     comes before all
 * @param gap the gap
 */
record GapRow(long id, String pack, long session, long afterMs, Gap gap) implements WaitingRow {

  /** What {@link #of} reads, in its order. */
  public static final String COLUMNS = "id, pack, session, after_ms, from_ms, to_ms, cause";

  /** Before all readings of the stretch; far from the ends of the number range, so it can shift. */
  public static final long BEFORE_ALL = Long.MIN_VALUE / 2;

  /** The row of a query that selected {@link #COLUMNS}. */
  public static GapRow of(ResultSet row) throws SQLException {
    long from = row.getLong(5);
    Gap gap = new Gap(from, Math.max(from, row.getLong(6)), cause(row.getString(7)));
    return new GapRow(row.getLong(1), row.getString(2), row.getLong(3), row.getLong(4), gap);
  }

  private static Gap.Cause cause(String word) {
    return Worded.find(Gap.Cause.values(), word).orElse(Gap.Cause.UNKNOWN);
  }

  /**
   * Notes that readings are missing, by a number below zero: those above are the writer's to hand
   * out, which may wait for this file.
   */
  static void writeFound(
      Connection connection, String pack, long session, long afterMs, long fromMs, long toMs)
      throws SQLException {
    long id = Math.min(0, Database.number(connection, "SELECT min(id) FROM gap").orElse(0)) - 1;
    Gap gap = new Gap(fromMs, toMs, Gap.Cause.UNKNOWN);
    new GapRow(id, pack, session, afterMs, gap).write(connection);
  }

  /** True when {@code later} is this gap, grown. */
  public boolean growsTo(Gap later) {
    return later.fromMs() == gap.fromMs()
        && later.cause() == gap.cause()
        && later.toMs() >= gap.toMs();
  }

  /** The same row with a later end. */
  public GapRow grown(Gap later) {
    return new GapRow(id, pack, session, afterMs, later);
  }

  @Override
  public GapRow behind(FreeNumbers there) {
    return new GapRow(there.ofGap(id), pack, there.ofStretch(session), afterMs, gap);
  }

  @Override
  public void write(Connection connection) throws SQLException {
    Database.update(
        connection,
        "INSERT OR REPLACE INTO gap(" + COLUMNS + ") VALUES (?,?,?,?,?,?,?)",
        id,
        pack,
        session,
        afterMs,
        gap.fromMs(),
        gap.toMs(),
        gap.cause().word());
  }

  @Override
  public int bytes() {
    return 80;
  }
}
