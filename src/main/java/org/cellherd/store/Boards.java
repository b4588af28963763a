package org.cellherd.store;

import java.util.Optional;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.Database;

/** Which board belongs to which pack, by the name that the board gives itself. Any thread. */
public final class Boards {

  private final Database database;

  Boards(Database database) {
    this.database = database;
  }

  /** How the pack's own board names itself; empty before one was learnt. */
  public Optional<String> of(String pack) throws StorageFailure {
    String sql = "SELECT identity FROM board WHERE pack = ?";
    return database.read(c -> Database.first(c, sql, row -> row.getString(1), pack));
  }

  /**
   * From now on this board is the pack's own.
   *
   * @param sinceMs when it was learnt, ms UTC
   */
  public void learn(String pack, String identity, long sinceMs) throws StorageFailure {
    database.write(
        c ->
            Database.update(
                c,
                "INSERT INTO board(pack, identity, since_ms) VALUES (?,?,?) ON CONFLICT(pack)"
                    + " DO UPDATE SET identity = excluded.identity, since_ms = excluded.since_ms",
                pack,
                identity,
                sinceMs));
  }

  /** The next board that answers is to be learnt. */
  public void forget(String pack) throws StorageFailure {
    database.write(c -> Database.update(c, "DELETE FROM board WHERE pack = ?", pack));
  }
}
