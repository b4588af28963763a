package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.OptionalLong;
import org.cellherd.store.sql.Database;

/** What is lost with a row of readings whose bytes are not those that were written. */
final class DamagedRow {

  /** The statistics were made of the readings themselves, and stand elsewhere in the file. */
  private static final String COUNT =
      "SELECT max(count) FROM hour WHERE pack = ? AND session = ? AND start_ms = ?";

  private DamagedRow() {}

  static Loss loss(Connection connection, ReadingsRow row) throws SQLException {
    OptionalLong count =
        Database.number(connection, COUNT, row.pack(), row.session(), row.hourMs());
    long inHead = row.count();
    OptionalLong readings = count.isEmpty() && inHead > 0 ? OptionalLong.of(inHead) : count;
    return new Loss(
        row.pack(),
        row.startMs(),
        row.endMs(),
        readings,
        count.isPresent(),
        "their block in the log is damaged (row " + row.id() + ")");
  }
}
