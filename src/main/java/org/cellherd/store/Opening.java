package org.cellherd.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.rows.ReadingsRow;
import org.cellherd.store.rows.Tail;
import org.cellherd.store.rows.TailRows;
import org.cellherd.store.salvage.Holes;
import org.cellherd.store.salvage.Replacement;
import org.cellherd.store.salvage.Salvager;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.Schema;
import org.cellherd.store.sql.WriterLock;

/**
 * A log opened for writing: created, brought up to date, and salvaged where it is damaged.
 *
 * @param database the open file
 * @param lock keeps other writers out
 * @param salvage what was salvaged; empty when the file was whole
 */
record Opening(Database database, WriterLock lock, Optional<Salvage> salvage) {

  /** Up to this size a file that was not closed in order is checked as a whole when opened. */
  private static final long CHECKED_BYTES = 64L << 20;

  /** Opens a file. */
  static Opening of(Path path, StoreSettings settings) throws StorageFailure {
    WriterLock lock = WriterLock.take(path);
    try {
      Replacement.finish(path);
      return openOrSalvage(path, settings, lock);
    } catch (StorageFailure e) {
      lock.close();
      throw e;
    }
  }

  private static Opening openOrSalvage(Path path, StoreSettings settings, WriterLock lock)
      throws StorageFailure {
    try {
      return new Opening(open(path, settings), lock, Optional.empty());
    } catch (StorageFailure e) {
      if (e.kind() != Kind.DAMAGED) {
        throw e;
      }
      Salvage saved = new Salvager(path, settings).run();
      Database database = open(path, settings);
      // Once more: between what was saved and what the tail held there may be a hole, too.
      database.write(c -> new Holes(c).tell());
      return new Opening(database, lock, Optional.of(saved));
    }
  }

  private static Database open(Path path, StoreSettings settings) throws StorageFailure {
    refuseWhatIsNotOurs(path, settings);
    Database database = Database.open(path, OpenMode.WRITER, settings);
    try {
      database.prepareForWriting();
      database.write(Schema::migrate);
      List<ReadingsRow> tail = Tail.read(path);
      if (!tail.isEmpty()) {
        database.write(c -> putIn(c, tail));
      }
      if (!database.read(Opening::endedCleanly) && size(path) <= CHECKED_BYTES) {
        database.plain(c -> check(path, c));
      }
      return database;
    } catch (StorageFailure e) {
      database.close();
      throw e;
    }
  }

  /**
   * Puts the rows of a tail into their table, where they are not there already. Where their numbers
   * do not follow the table's, the disk has lost a commit between them.
   */
  static void putIn(Connection connection, List<ReadingsRow> tail) throws SQLException {
    long last = TailRows.highest(connection);
    boolean follow = true;
    for (ReadingsRow row : TailRows.missing(connection, tail)) {
      row.insert(connection, "recent");
      follow &= row.id() == last + 1;
      last = row.id();
    }
    if (!follow) {
      new Holes(connection).tell();
    }
  }

  /** Looks read-only, so that a file of a newer version stays as it is to the last byte. */
  private static void refuseWhatIsNotOurs(Path path, StoreSettings settings) throws StorageFailure {
    if (Files.exists(path)) {
      try (Database look = Database.open(path, OpenMode.READER, settings)) {
        look.plain(c -> Schema.check(path, c));
      }
    }
  }

  private static void check(Path path, Connection connection) throws SQLException, StorageFailure {
    String verdict = Database.pragma(connection, "quick_check(1)");
    if (!verdict.equals("ok")) {
      throw new StorageFailure(Kind.DAMAGED, path + ": the file is damaged (" + verdict + ")");
    }
  }

  private static long size(Path path) throws StorageFailure {
    try {
      return Files.size(path);
    } catch (IOException e) {
      throw new StorageFailure(Kind.REFUSED, path + ": " + e, e);
    }
  }

  /** True when the daemon's latest run was closed in order, or there was none. */
  static boolean endedCleanly(Connection connection) throws SQLException {
    return Database.number(
                connection,
                "SELECT min(ended) FROM session WHERE run ="
                    + " (SELECT max(run) FROM session WHERE run > 0)")
            .orElse(1)
        != 0;
  }
}
