package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.store.sql.Database;

/**
 * A finished hour of a pack, packed and not yet written: its blocks, which take the place of its
 * rows in {@code recent}.
 *
 * @param head its first row
 * @param lastId number of its last row
 * @param rows the blocks, and a gap for each row that could not be read
 */
record PackedHour(ReadingsRow head, long lastId, List<WaitingRow> rows) {
  public PackedHour {
    rows = List.copyOf(rows);
  }

  /** Puts the blocks in the place of the rows. */
  void write(Connection connection) throws SQLException {
    for (WaitingRow row : rows) {
      row.write(connection);
    }
    Database.update(
        connection,
        "DELETE FROM recent WHERE pack = ? AND id BETWEEN ? AND ?",
        head.pack(),
        head.id(),
        lastId);
    Heard.forget(connection, head);
  }
}
