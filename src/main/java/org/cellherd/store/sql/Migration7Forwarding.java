package org.cellherd.store.sql;

import java.sql.Connection;
import java.sql.SQLException;

/**
 * What a centre has not got yet. {@code change} names each key whose rows changed, under a number
 * that is never used again: the revision of what the key has then. Nothing is noted while {@code
 * forwarding} is empty. Rows that are retired ({@code retiring} 1) stay at the centre; with {@code
 * waits} 1 nothing is retired that it does not hold yet.
 */
final class Migration7Forwarding implements Migration {

  @Override
  public void apply(Connection connection) throws SQLException {
    Database.execute(
        connection,
        "CREATE TABLE forwarding(id INTEGER PRIMARY KEY, retiring INTEGER NOT NULL DEFAULT 0,"
            + " waits INTEGER NOT NULL DEFAULT 0)");
    Database.execute(
        connection,
        "CREATE TABLE change(rev INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL,"
            + " key TEXT NOT NULL, UNIQUE (kind, key))");
    ChangeTriggers.make(connection);
  }
}
