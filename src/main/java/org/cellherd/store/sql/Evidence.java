package org.cellherd.store.sql;

import java.sql.Connection;
import java.sql.SQLException;

/**
 * What tells damage from what was never there: sums over the rows of all tables but those that have
 * their own, how many readings the hours hold that are not packed yet, and up to when readings were
 * dropped on purpose.
 *
 * <p>A seal goes with the first change that SQL makes to its rows, whoever makes it: only damage
 * leaves a seal that its rows do not fit.
 */
final class Evidence {

  private static final String[] BY_ORDER = {"alert", "event"};

  private static final String[] BY_NUMBER = {
    "acknowledgement", "session", "gap", "finding", "note", "note_change", "redating", "board"
  };

  private static final String[] BY_CHANNEL = {"hour", "day"};

  private Evidence() {}

  static void make(Connection connection) throws SQLException {
    Database.execute(
        connection,
        "CREATE TABLE seal(name TEXT NOT NULL, pack TEXT NOT NULL, channel TEXT NOT NULL,"
            + " part INTEGER NOT NULL, from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL,"
            + " sums BLOB NOT NULL, crc INTEGER NOT NULL, told INTEGER NOT NULL DEFAULT 0,"
            + " PRIMARY KEY (name, pack, channel, part)) WITHOUT ROWID");
    for (String table : BY_ORDER) {
      breakSeals(connection, table, "pack = '' AND channel = '' AND part = %1$s.seq >> 6");
    }
    for (String table : BY_NUMBER) {
      breakSeals(connection, table, "pack = '' AND channel = '' AND part = %1$s.id >> 6");
    }
    for (String table : BY_CHANNEL) {
      String part = "start_ms >> " + (table.equals("hour") ? 28 : 33);
      breakSeals(
          connection, table, "pack = %1$s.pack AND channel = %1$s.channel AND part = %1$s." + part);
    }
    Database.execute(
        connection,
        "CREATE TABLE heard(pack TEXT NOT NULL, session INTEGER NOT NULL,"
            + " start_ms INTEGER NOT NULL, count INTEGER NOT NULL, from_ms INTEGER NOT NULL,"
            + " to_ms INTEGER NOT NULL, PRIMARY KEY (pack, session, start_ms)) WITHOUT ROWID");
    Database.execute(
        connection, "CREATE TABLE retired(id INTEGER PRIMARY KEY, to_ms INTEGER NOT NULL)");
    Database.execute(
        connection,
        "INSERT INTO retired SELECT 1, coalesce(min(start_ms), -1) FROM (SELECT start_ms"
            + " FROM block UNION ALL SELECT start_ms FROM recent)");
  }

  private static void breakSeals(Connection connection, String table, String rows)
      throws SQLException {
    trigger(connection, table, "insert", of(table, rows, "NEW"));
    trigger(connection, table, "delete", of(table, rows, "OLD"));
    trigger(connection, table, "update", of(table, rows, "OLD") + of(table, rows, "NEW"));
  }

  private static void trigger(Connection connection, String table, String change, String what)
      throws SQLException {
    Database.execute(
        connection,
        String.format(
            "CREATE TRIGGER seal_%1$s_%2$s AFTER %2$s ON %1$s BEGIN %3$s END",
            table, change, what));
  }

  private static String of(String table, String rows, String version) {
    return "DELETE FROM seal WHERE name = '"
        + table
        + "' AND "
        + String.format(rows, version)
        + "; ";
  }
}
