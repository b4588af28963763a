package org.cellherd.store.salvage;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.store.codec.BlockDamaged;
import org.cellherd.store.loss.Loss;
import org.cellherd.store.rows.HourOfReadings;
import org.cellherd.store.rows.ReadingsRow;
import org.cellherd.store.rows.TailRows;

/** Puts rows of readings that were found beside the tables into them. */
public final class FoundRows {

  /** How far before the first found row its neighbours are looked for: a row holds an hour. */
  private static final long AROUND_MS = 3_600_000;

  private final Connection connection;

  /** Works inside a transaction. */
  public FoundRows(Connection connection) {
    this.connection = connection;
  }

  /**
   * Adds those that are not there already, by rising number. Where their numbers do not follow the
   * table's, the disk has lost a commit between them.
   *
   * @param rows whole rows
   * @return what is missing between them
   */
  public List<Loss> put(List<ReadingsRow> rows) throws SQLException {
    long highest = TailRows.highest(connection);
    long last = highest;
    boolean follow = true;
    long sinceMs = Long.MAX_VALUE;
    List<ReadingsRow> missing = TailRows.missing(connection, rows);
    for (ReadingsRow row : missing) {
      if (row.id() > highest) {
        row.insert(connection, "recent");
        follow &= row.id() == last + 1;
        last = row.id();
      } else {
        putBehindItsTime(row);
        follow = false;
      }
      sinceMs = Math.min(sinceMs, row.startMs());
    }
    if (!missing.isEmpty()) {
      new LostStretches(connection).restore();
    }
    return follow ? List.of() : new Holes(connection).tellSince(sinceMs - AROUND_MS);
  }

  /** Its number may be another's by now, and newer hours may be packed: it becomes a block. */
  private void putBehindItsTime(ReadingsRow row) throws SQLException {
    try {
      new HourOfReadings(row.pack(), row.session(), row.readings()).write(connection);
    } catch (BlockDamaged unreadable) {
      System.getLogger(FoundRows.class.getName())
          .log(System.Logger.Level.WARNING, "left out: {0}", unreadable.getMessage());
    }
  }
}
