package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.store.sql.Database;

/** What the seals in a log say of its rows. */
final class Seals {

  private Seals() {}

  /** What keeps queries from finding all that a table holds, or the table from being read. */
  public static Optional<String> indexDamage(Connection connection, SealedTable table)
      throws SQLException {
    if (!table.isNumbered()) {
      return Optional.empty();
    }
    String verdict = Database.pragma(connection, "integrity_check(" + table.table() + ")");
    return Optional.of("table " + table.table() + ": " + verdict)
        .filter(damage -> !verdict.equals("ok"));
  }

  /**
   * What rows of a table within a time are not as they were, in sentences; of one pack where the
   * table tells.
   */
  public static List<String> losses(
      Connection connection, SealedTable table, String pack, long fromMs, long toMs)
      throws SQLException {
    List<String> losses = new ArrayList<>();
    for (Seal seal : Seal.within(connection, table, pack, fromMs, toMs)) {
      seal.lossIn(connection).ifPresent(losses::add);
    }
    return losses;
  }

  /** Seals the rows of a table that have no seal, at once. */
  public static void renew(Connection connection, SealedTable table) throws SQLException {
    Optional<SealedPart> part = table.start().next(connection);
    while (part.isPresent()) {
      if (Seal.stored(connection, part.get()).isEmpty()) {
        Seal.now(connection, part.get()).write(connection);
      }
      part = part.get().next(connection);
    }
  }

  /** Forgets all: what is there now counts from here on. */
  public static void forget(Connection connection) throws SQLException {
    Database.execute(connection, "DELETE FROM seal");
  }
}
