package org.cellherd.store.sql;

import java.sql.Connection;
import java.sql.SQLException;

/** The first schema; its columns are described in the package documentation. */
final class FirstSchema {

  private static final String STATISTICS =
      "(pack TEXT NOT NULL, channel TEXT NOT NULL, session INTEGER NOT NULL,"
          + " start_ms INTEGER NOT NULL, count INTEGER NOT NULL, min INTEGER NOT NULL,"
          + " mean REAL NOT NULL, max INTEGER NOT NULL, first INTEGER NOT NULL,"
          + " last INTEGER NOT NULL, PRIMARY KEY (pack, channel, start_ms, session))"
          + " WITHOUT ROWID";

  private static final String READINGS =
      ", pack TEXT NOT NULL, session INTEGER NOT NULL,"
          + " start_ms INTEGER NOT NULL, end_ms INTEGER NOT NULL, crc INTEGER NOT NULL,"
          + " data BLOB NOT NULL)";

  private static final String ALERT_COLUMNS =
      "pack TEXT NOT NULL, rule TEXT NOT NULL, cell INTEGER NOT NULL, state TEXT NOT NULL,"
          + " priority TEXT NOT NULL, since_ms INTEGER NOT NULL, time_ms INTEGER NOT NULL,"
          + " value REAL, limit_value REAL, unit TEXT NOT NULL, text TEXT NOT NULL,"
          + " first_step TEXT NOT NULL, evidence BLOB NOT NULL, acknowledged_by TEXT,"
          + " clock_sure INTEGER NOT NULL";

  private static final String[] STATEMENTS = {
    "PRAGMA application_id = " + Schema.APPLICATION_ID,
    "CREATE TABLE schema_version(version INTEGER PRIMARY KEY)",
    "CREATE TABLE session(id INTEGER PRIMARY KEY, pack TEXT NOT NULL, rank INTEGER NOT NULL,"
        + " run INTEGER NOT NULL, kind TEXT NOT NULL, start_ms INTEGER NOT NULL, from_ms INTEGER,"
        + " clock_sure INTEGER NOT NULL, clean INTEGER NOT NULL, ended INTEGER NOT NULL DEFAULT 0)",
    "CREATE INDEX session_by_pack ON session(pack, rank)",
    "CREATE TABLE block(id INTEGER PRIMARY KEY" + READINGS,
    "CREATE INDEX block_by_time ON block(pack, session, start_ms)",
    // Row numbers are never used again, so that they tell what the tail holds beyond the table.
    "CREATE TABLE recent(id INTEGER PRIMARY KEY AUTOINCREMENT" + READINGS,
    "CREATE TABLE gap(id INTEGER PRIMARY KEY, pack TEXT NOT NULL, session INTEGER NOT NULL,"
        + " after_ms INTEGER NOT NULL, from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL,"
        + " cause TEXT NOT NULL)",
    "CREATE INDEX gap_by_place ON gap(pack, session, after_ms)",
    "CREATE TABLE hour" + STATISTICS,
    "CREATE TABLE day" + STATISTICS,
    "CREATE TABLE alert(seq INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE,"
        + " stands INTEGER NOT NULL, "
        + ALERT_COLUMNS
        + ")",
    "CREATE TABLE event(seq INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE,"
        + " change TEXT NOT NULL, alert_id TEXT NOT NULL, delivered INTEGER NOT NULL DEFAULT 0, "
        + ALERT_COLUMNS
        + ")",
    "CREATE INDEX event_waiting ON event(seq) WHERE delivered = 0",
    "CREATE TABLE acknowledgement(id INTEGER PRIMARY KEY, alert_id TEXT NOT NULL,"
        + " by TEXT NOT NULL, at_ms INTEGER NOT NULL, taken INTEGER NOT NULL DEFAULT 0)",
    "CREATE INDEX acknowledgement_new ON acknowledgement(id) WHERE taken = 0",
    "CREATE TABLE finding(id INTEGER PRIMARY KEY, pack TEXT NOT NULL, name TEXT NOT NULL,"
        + " from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL, facts BLOB NOT NULL,"
        + " sentence TEXT NOT NULL, UNIQUE (pack, name, to_ms, from_ms))",
    "CREATE TABLE snapshot(id INTEGER PRIMARY KEY, pack TEXT NOT NULL, fold TEXT NOT NULL,"
        + " at_ms INTEGER NOT NULL, session INTEGER NOT NULL, crc INTEGER NOT NULL,"
        + " data BLOB NOT NULL, UNIQUE (pack, fold, at_ms))",
    "CREATE TABLE note(id INTEGER PRIMARY KEY, pack TEXT NOT NULL, at_ms INTEGER NOT NULL,"
        + " by TEXT NOT NULL, text TEXT NOT NULL)",
  };

  private FirstSchema() {}

  static void make(Connection connection) throws SQLException {
    for (String statement : STATEMENTS) {
      Database.execute(connection, statement);
    }
  }
}
