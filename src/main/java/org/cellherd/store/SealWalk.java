package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.Optional;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.sql.Database;

/**
 * Goes through all sealed tables while the log is in use, some parts a step: rows that have no seal
 * get one, and what does not fit its seal is reported, once. Belongs to the writer's thread.
 */
final class SealWalk {

  /** Some 400 rows, which a small computer reads in a few ms. */
  private static final int PARTS_A_STEP = 8;

  private static final SealedTable[] TABLES = SealedTable.values();

  private final Database reading;
  private final Database writing;
  private final Reports reports;
  private int table;
  private SealedPart last = TABLES[0].start();

  /** Reads through one connection and writes through another. */
  public SealWalk(Database reading, Database writing, Reports reports) {
    this.reading = reading;
    this.writing = writing;
    this.reports = reports;
  }

  /**
   * Checks the next parts; false when all are checked, and then begins anew.
   *
   * @throws StorageFailure {@code DAMAGED} when a table or its index cannot be read from end to end
   */
  public boolean step() throws StorageFailure {
    if (last.equals(TABLES[table].start())) {
      reading.plain(this::checkIndexes);
    }
    for (int i = 0; i < PARTS_A_STEP; i++) {
      Optional<SealedPart> next = reading.read(last::next);
      if (next.isEmpty()) {
        table = (table + 1) % TABLES.length;
        last = TABLES[table].start();
        return table != 0;
      }
      last = next.get();
      check(last);
    }
    return true;
  }

  /** Where an index lost sight of a row, queries do not give what the table holds. */
  private void checkIndexes(Connection connection) throws SQLException, StorageFailure {
    Optional<String> damage = Seals.indexDamage(connection, last.table());
    if (damage.isPresent()) {
      throw new StorageFailure(
          Kind.DAMAGED, reading.file() + ": the file is damaged (" + damage.get() + ")");
    }
  }

  private void check(SealedPart part) throws StorageFailure {
    if (!reading.read(c -> fits(c, part))) {
      // Once more inside the change: another process may have added a note meanwhile.
      writing.write(c -> settle(c, part));
    }
  }

  private static boolean fits(Connection connection, SealedPart part) throws SQLException {
    Optional<Seal> stored = Seal.stored(connection, part);
    return stored.isPresent() && stored.get().isOf(Seal.now(connection, part));
  }

  private void settle(Connection connection, SealedPart part) throws SQLException {
    Optional<Seal> stored = Seal.stored(connection, part);
    Optional<String> loss = stored.isEmpty() ? Optional.empty() : stored.get().lossIn(connection);
    if (loss.isEmpty()) {
      Seal.now(connection, part).write(connection);
    } else if (Database.update(
            connection,
            "UPDATE seal SET told = 1 WHERE told = 0 AND name = ? AND pack = ? AND channel = ?"
                + " AND part = ?",
            part.table().table(),
            part.pack(),
            part.channel(),
            part.number())
        > 0) {
      reports.add(loss.get());
    }
  }
}
