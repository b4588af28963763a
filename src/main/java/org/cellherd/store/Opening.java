package org.cellherd.store;

import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.Optional;
import org.cellherd.pack.SessionStart.Before;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.Schema;
import org.cellherd.store.sql.StoreSettings;
import org.cellherd.store.sql.WriterLock;

/**
 * A log opened for writing: created, brought up to date, and salvaged where it is damaged.
 *
 * @param database the open file
 * @param lock keeps other writers out
 * @param salvage what was salvaged; empty when the file was whole
 */
record Opening(Database database, WriterLock lock, Optional<Salvage> salvage) {

  /**
   * Opens a file.
   *
   * @param named its name, which may be a link
   * @param reports takes what was found and done
   */
  static Opening of(Path named, StoreSettings settings, Reports reports) throws StorageFailure {
    Path path = LinkedName.follow(named);
    Stranger.refuse(path);
    WriterLock lock = WriterLock.take(path);
    try {
      LinkedName.bring(named, path, reports);
      Replacement.finish(path);
      return openOrSalvage(path, settings, lock, reports);
    } catch (StorageFailure e) {
      lock.close();
      throw e;
    }
  }

  private static Opening openOrSalvage(
      Path path, StoreSettings settings, WriterLock lock, Reports reports) throws StorageFailure {
    int told = reports.all().size();
    Remains remains = Remains.secure(path, settings, reports);
    boolean isHarmed = reports.all().size() > told;
    try {
      Database database = open(path, settings, remains, path);
      if (isHarmed) {
        tellExtent(database, reports);
      }
      return new Opening(database, lock, Optional.empty());
    } catch (StorageFailure e) {
      if (e.kind() != Kind.DAMAGED) {
        throw e;
      }
      return salvage(path, settings, lock, remains, reports);
    }
  }

  private static Opening salvage(
      Path path, StoreSettings settings, WriterLock lock, Remains remains, Reports reports)
      throws StorageFailure {
    Salvage saved = new Salvager(path, settings, remains.identity(), reports).run();
    reports.add(saved.sentence());
    Database database = open(path, settings, remains, saved.damaged());
    // Not before the tail's rows are in: they may be what is missing in the tables.
    database.write(c -> reports.addAll(new Holes(c).tell(saved.hoursKnown())));
    tellExtent(database, reports);
    return new Opening(database, lock, Optional.of(saved));
  }

  /** Salvages a file that turned out to be damaged only when its contents were used. */
  Opening salvaged(StoreSettings settings, Reports reports) throws StorageFailure {
    Path path = database.file();
    try {
      database.close();
      return salvage(path, settings, lock, Remains.secure(path, settings, reports), reports);
    } catch (StorageFailure e) {
      lock.close();
      throw e;
    }
  }

  /** The next to open an overwritten file would take our changes for its own. */
  static void setOursAside(Database database, Reports reports) throws StorageFailure {
    if (database.isOverwritten()) {
      reports.add(
          database.file()
              + " was overwritten while it was open; its latest changes do not belong to it."
              + Replacement.setAside(WriteAheadLog.file(database.file())));
    }
  }

  private static void tellExtent(Database database, Reports reports) throws StorageFailure {
    database.read(Extent::sentences).forEach(reports::add);
  }

  private static Database open(Path path, StoreSettings settings, Remains remains, Path pages)
      throws StorageFailure {
    checkBeforeChange(path, settings);
    Database database = Database.open(path, OpenMode.WRITER, settings);
    try {
      database.prepareForWriting(remains.identity());
      database.write(Schema::migrate);
      remains.putInto(database, pages);
      return database;
    } catch (StorageFailure e) {
      database.close();
      throw e;
    }
  }

  /** Read-only: a writer that closes a damaged file brings its write-ahead log into it first. */
  private static void checkBeforeChange(Path path, StoreSettings settings) throws StorageFailure {
    if (Files.exists(path) && path.toFile().length() > 0) {
      try (Database look = Database.open(path, OpenMode.READER, settings)) {
        look.plain(
            c -> {
              Schema.check(path, c);
              Remains.checkLength(path, c);
              if (Schema.version(c) > 0 && end(c) != Before.ENDED) {
                Remains.check(path, c);
              }
            });
      }
    }
  }

  /** How the daemon's latest run ended; in order where there was none. */
  static Before end(Connection connection) throws SQLException {
    long ended =
        Database.number(
                connection, "SELECT min(ended) FROM session WHERE run = ?", latestRun(connection))
            .orElse(Before.ENDED.number());
    return Before.of((int) ended);
  }

  /** The daemon's latest run; -1 where there was none. */
  static long latestRun(Connection connection) throws SQLException {
    return Database.number(connection, "SELECT max(run) FROM session WHERE run > 0").orElse(-1);
  }
}
