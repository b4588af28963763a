package org.cellherd.store.sql;

import java.sql.Connection;
import java.sql.SQLException;

/** The triggers that note in table {@code change} which parcels a centre has not got yet. */
public final class ChangeTriggers {

  private ChangeTriggers() {}

  /** Makes those that are not there: from now on changes are noted while a log is forwarded. */
  public static void make(Connection connection) throws SQLException {
    for (ParcelKind kind : ParcelKind.values()) {
      make(connection, kind, "INSERT", "insert", noted(kind, "NEW."));
      make(connection, kind, "DELETE", "delete", noted(kind, "OLD."));
      make(
          connection,
          kind,
          "UPDATE OF " + String.join(", ", kind.columns()),
          "update",
          noted(kind, "OLD.") + noted(kind, "NEW."));
    }
  }

  /** Removes them all: 17 kB that each opening of a log would read. */
  static void drop(Connection connection) throws SQLException {
    for (ParcelKind kind : ParcelKind.values()) {
      for (String change : new String[] {"insert", "delete", "update"}) {
        Database.execute(connection, "DROP TRIGGER IF EXISTS " + name(kind, change));
      }
    }
  }

  private static String name(ParcelKind kind, String change) {
    return "forward_" + kind.word() + "_" + change;
  }

  private static void make(
      Connection connection, ParcelKind kind, String when, String change, String what)
      throws SQLException {
    Database.execute(
        connection,
        String.format(
            "CREATE TRIGGER IF NOT EXISTS %1$s AFTER %2$s ON %3$s"
                + " WHEN EXISTS (SELECT 1 FROM forwarding) BEGIN %4$s END",
            name(kind, change), when, kind.word(), what));
  }

  /** Not by OR REPLACE: in a trigger the conflict clause of the outer statement counts. */
  private static String noted(ParcelKind kind, String row) {
    String it = "kind = '" + kind.word() + "' AND key = " + kind.keyOf(row);
    String isReal = kind == ParcelKind.HOUR ? " AND " + row + "start_ms >= 0" : "";
    return "DELETE FROM change WHERE "
        + it
        + "; INSERT INTO change(kind, key) SELECT '"
        + kind.word()
        + "', "
        + kind.keyOf(row)
        + " WHERE (SELECT max(retiring) FROM forwarding) = 0"
        + isReal
        + "; ";
  }
}
