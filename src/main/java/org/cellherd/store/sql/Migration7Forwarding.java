package org.cellherd.store.sql;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.stream.Collectors;

/**
 * What a centre has not got yet. {@code change} names each key whose rows changed, under a number
 * that is never used again: the revision of what the key has then. Nothing is noted while {@code
 * forwarding} is empty. Rows that are retired ({@code retiring} 1) stay at the centre; with {@code
 * waits} 1 nothing is retired that it does not hold yet.
 */
public final class Migration7Forwarding implements Migration {

  @Override
  public int version() {
    return 7;
  }

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
    for (ParcelKind kind : ParcelKind.values()) {
      trigger(connection, kind, "INSERT", "insert", noted(kind, "NEW."));
      trigger(connection, kind, "DELETE", "delete", noted(kind, "OLD."));
      String columns = kind.columns().stream().collect(Collectors.joining(", "));
      trigger(
          connection,
          kind,
          "UPDATE OF " + columns,
          "update",
          noted(kind, "OLD.") + noted(kind, "NEW."));
    }
  }

  private static void trigger(
      Connection connection, ParcelKind kind, String when, String name, String what)
      throws SQLException {
    Database.execute(
        connection,
        String.format(
            "CREATE TRIGGER forward_%1$s_%2$s AFTER %3$s ON %1$s"
                + " WHEN EXISTS (SELECT 1 FROM forwarding) BEGIN %4$s END",
            kind.word(), name, when, what));
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
