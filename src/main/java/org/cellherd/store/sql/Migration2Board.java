package org.cellherd.store.sql;

import java.sql.Connection;
import java.sql.SQLException;

/** Which board belongs to which pack. */
final class Migration2Board implements Migration {

  @Override
  public void apply(Connection connection) throws SQLException {
    Database.execute(
        connection,
        "CREATE TABLE board(id INTEGER PRIMARY KEY, pack TEXT NOT NULL UNIQUE,"
            + " identity TEXT NOT NULL, since_ms INTEGER NOT NULL)");
  }
}
