package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.store.codec.BlockDamaged;
import org.cellherd.store.sql.Database;

/** Puts rows of readings that were found beside the tables into them. */
final class FoundRows {

  /** How far before the first found row its neighbours are looked for: a row holds an hour. */
  private static final long AROUND_MS = 3_600_000;

  private static final String NEXT_BLOCK = "SELECT max(id) + 1 FROM block";

  private static final String OF_HOUR = " WHERE pack = ? AND session = ? AND start_ms = ?";

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
        Heard.of(row).addTo(connection);
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
    return follow ? List.of() : new Holes(connection).tellLeaps(sinceMs - AROUND_MS);
  }

  /**
   * It was in the table once, and its hour counts it: it goes back into the table where that hour
   * is not packed yet, else it becomes a block.
   */
  private void putBehindItsTime(ReadingsRow row) throws SQLException {
    Heard hour = Heard.of(row);
    Object[] place = {row.pack(), row.session(), hour.startMs()};
    if (count("heard" + OF_HOUR, place) > 0 && count("recent WHERE id = ?", row.id()) == 0) {
      row.insert(connection, "recent");
    } else if (count("hour" + OF_HOUR, place) > 0) {
      row.withId(Database.number(connection, NEXT_BLOCK).orElse(1)).insert(connection, "block");
    } else {
      putWithStatistics(row);
    }
  }

  private long count(String rows, Object... values) throws SQLException {
    return Database.number(connection, "SELECT count(*) FROM " + rows, values).orElse(0);
  }

  private void putWithStatistics(ReadingsRow row) throws SQLException {
    try {
      new HourOfReadings(row.pack(), row.session(), row.readings()).write(connection);
    } catch (BlockDamaged unreadable) {
      System.getLogger(FoundRows.class.getName())
          .log(System.Logger.Level.WARNING, "left out: {0}", unreadable.getMessage());
    }
  }
}
