package org.cellherd.store.sql;

import java.sql.Connection;
import java.sql.SQLException;

/** The UUID of the log; {@link Identity#ensure} fills it in, in old logs too. */
final class Migration5Identity implements Migration {

  @Override
  public void apply(Connection connection) throws SQLException {
    Database.execute(
        connection, "CREATE TABLE identity(id INTEGER PRIMARY KEY, uuid TEXT NOT NULL)");
  }
}
