package org.cellherd.store;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.cellherd.alert.AlertLog;
import org.cellherd.analysis.History;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.jspecify.annotations.Nullable;

/**
 * The log in one SQLite file. One process writes it; others open it as readers at the same time.
 * Everything handed out lives as long as this object.
 */
public final class LogFile implements AutoCloseable {
  private final Path path;
  private final Database database;
  private final @Nullable WriterLock lock;
  private final LogAlerts alerts;
  private final @Nullable LogWriter writer;

  private LogFile(Path path, Database database, @Nullable WriterLock lock, StoreSettings settings)
      throws StorageFailure {
    this.path = path;
    this.database = database;
    this.lock = lock;
    this.alerts = new LogAlerts(database);
    this.writer = lock == null ? null : new LogWriter(database, alerts, settings);
  }

  /** Opens a log with the default settings. */
  public static LogFile open(Path path, OpenMode mode) throws StorageFailure {
    return open(path, mode, StoreSettings.DEFAULT);
  }

  /**
   * Opens a log.
   *
   * @throws StorageFailure {@code BUSY} when another process writes it (writers only), {@code
   *     NEWER} when a newer version wrote it, {@code REFUSED} when it is not a log or, for a
   *     reader, is not there
   */
  public static LogFile open(Path path, OpenMode mode, StoreSettings settings)
      throws StorageFailure {
    return mode == OpenMode.READER ? reader(path, settings) : writer(path, settings);
  }

  private static LogFile reader(Path path, StoreSettings settings) throws StorageFailure {
    if (!Files.exists(path)) {
      throw new StorageFailure(Kind.REFUSED, path + ": there is no such log");
    }
    Database database = Database.open(path, OpenMode.READER, settings);
    try {
      database.plain(c -> Schema.checkReadable(path, c));
      return new LogFile(path, database, null, settings);
    } catch (StorageFailure e) {
      database.close();
      throw e;
    }
  }

  private static LogFile writer(Path path, StoreSettings settings) throws StorageFailure {
    WriterLock lock = WriterLock.take(path);
    try {
      return new LogFile(path, openForWriting(path, settings), lock, settings);
    } catch (StorageFailure e) {
      lock.close();
      throw e;
    }
  }

  private static Database openForWriting(Path path, StoreSettings settings) throws StorageFailure {
    if (Files.exists(path)) {
      try (Database look = Database.open(path, OpenMode.READER, settings)) {
        look.plain(c -> Schema.check(path, c));
      }
    }
    Database database = Database.open(path, OpenMode.WRITER, settings);
    try {
      database.prepareForWriting(settings);
      database.write(Schema::migrate);
      return database;
    } catch (StorageFailure e) {
      database.close();
      throw e;
    }
  }

  /** The file. */
  public Path path() {
    return path;
  }

  /**
   * The writer of a file that was opened for writing.
   *
   * @throws IllegalStateException when it was opened for reading
   */
  public LogWriter writer() {
    LogWriter present = writer;
    if (present == null) {
      throw new IllegalStateException(path + " was opened for reading");
    }
    return present;
  }

  /** The committed log. */
  public History history() {
    return new LogHistory(database);
  }

  /** Alerts and their outbox; its changes need a file opened for writing. */
  public AlertLog alertLog() {
    return alerts;
  }

  /** Events of a pack with {@code fromMs <= time < toMs} in the order in which they happened. */
  public List<StoredEvent> events(String pack, long fromMs, long toMs) throws StorageFailure {
    return alerts.events(pack, fromMs, toMs);
  }

  /** Acknowledgements and notes; its changes need a file opened for writing. */
  public Remarks remarks() {
    return new Remarks(database);
  }

  /** Statistics of hours and days. */
  public Statistics statistics() {
    return new Statistics(database);
  }

  /**
   * Brings many readings of a pack in at once.
   *
   * @throws IllegalStateException when the file was opened for reading
   */
  public Importer importer(String pack) throws StorageFailure {
    writer();
    return new Importer(database, pack);
  }

  /**
   * Writes a consistent copy while the log is in use.
   *
   * @throws StorageFailure {@code REFUSED} when the target exists, {@code NO_SPACE} when it does
   *     not fit
   */
  public void backup(Path target) throws StorageFailure {
    if (Files.exists(target)) {
      throw new StorageFailure(Kind.REFUSED, target + ": exists already");
    }
    database.plain(c -> Database.update(c, "VACUUM INTO ?", target.toAbsolutePath().toString()));
  }

  /** Commits what waits, if this is the writer, and closes. */
  @Override
  public void close() throws StorageFailure {
    try {
      if (writer != null) {
        writer.commit();
      }
    } finally {
      try {
        database.close();
      } finally {
        if (lock != null) {
          lock.close();
        }
      }
    }
  }
}
