package org.cellherd.store.sql;

import java.sql.Connection;
import java.sql.SQLException;

/** A log that no centre gets has no triggers for one: forwarding makes them when it begins. */
final class Migration8Unforwarded implements Migration {

  @Override
  public void apply(Connection connection) throws SQLException {
    if (Database.number(connection, "SELECT count(*) FROM forwarding").orElse(0) == 0) {
      ChangeTriggers.drop(connection);
    }
  }
}
