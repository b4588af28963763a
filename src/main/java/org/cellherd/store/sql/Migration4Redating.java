package org.cellherd.store.sql;

import java.sql.Connection;
import java.sql.SQLException;

/** Which readings were given other times: {@code from_ms} and {@code to_ms} are the old ones. */
final class Migration4Redating implements Migration {

  @Override
  public void apply(Connection connection) throws SQLException {
    Database.execute(
        connection,
        "CREATE TABLE redating(id INTEGER PRIMARY KEY, pack TEXT NOT NULL, at_ms INTEGER NOT NULL,"
            + " by TEXT NOT NULL, from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL,"
            + " offset_ms INTEGER NOT NULL, readings INTEGER NOT NULL,"
            + " stretches INTEGER NOT NULL, gaps INTEGER NOT NULL)");
  }
}
