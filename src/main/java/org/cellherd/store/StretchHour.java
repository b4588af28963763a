package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.store.sql.Database;

/**
 * One hour of one stretch.
 *
 * @param pack the pack's id
 * @param session the stretch's number
 * @param startMs start of the hour, ms UTC
 */
record StretchHour(String pack, long session, long startMs) {

  private static final String NEAR =
      "pack = ?1 AND session = ?2 AND start_ms > ?3 AND start_ms < ?4 AND end_ms >= ?5";

  private static final String ROWS =
      "SELECT %s FROM block WHERE %s UNION ALL SELECT %s FROM recent WHERE %s ORDER BY start_ms, id"
          .formatted(ReadingsRow.COLUMNS, NEAR, ReadingsRow.COLUMNS, NEAR);

  static StretchHour at(String pack, long session, long timeMs) {
    return new StretchHour(pack, session, PackStream.hourOf(timeMs));
  }

  /** End of the hour, ms UTC, exclusive. */
  long endMs() {
    return startMs + PackStream.HOUR_MS;
  }

  /** The rows of {@code block} and {@code recent} that reach into it, in order of time. */
  List<ReadingsRow> rows(Connection connection) throws SQLException {
    // A row holds at most an hour; after a re-dating it begins at any minute.
    long earliest = startMs - PackStream.HOUR_MS;
    return Database.rows(
        connection, ROWS, ReadingsRow::of, pack, session, earliest, endMs(), startMs);
  }
}
