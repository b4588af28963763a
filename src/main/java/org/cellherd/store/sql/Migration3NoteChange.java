package org.cellherd.store.sql;

import java.sql.Connection;
import java.sql.SQLException;

/** What was corrected in notes, and which were withdrawn. */
final class Migration3NoteChange implements Migration {

  @Override
  public void apply(Connection connection) throws SQLException {
    Database.execute(
        connection,
        "CREATE TABLE note_change(id INTEGER PRIMARY KEY, note_id INTEGER NOT NULL,"
            + " at_ms INTEGER NOT NULL, by TEXT NOT NULL, text TEXT)");
  }
}
