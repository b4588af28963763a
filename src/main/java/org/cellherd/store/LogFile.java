package org.cellherd.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.alert.AlertLog;
import org.cellherd.analysis.History;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.rows.ReadingsRow;
import org.cellherd.store.rows.Tail;
import org.cellherd.store.rows.TailRows;
import org.cellherd.store.salvage.Replacement;
import org.cellherd.store.salvage.SalvageRepairs;
import org.cellherd.store.salvage.Salvager;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.Schema;
import org.cellherd.store.sql.WriterLock;
import org.jspecify.annotations.Nullable;

/**
 * The log in one SQLite file. One process writes it; others open it as readers at the same time.
 * Everything handed out lives as long as this object. What is read goes through a connection of its
 * own, so a long replay never holds up a commit.
 */
public final class LogFile implements AutoCloseable {

  /** Up to this size a file that was not closed in order is checked as a whole when opened. */
  private static final long CHECKED_BYTES = 64L << 20;

  private final Path path;
  private final StoreSettings settings;
  private final Database database;
  private final Database reading;
  private final @Nullable WriterLock lock;
  private final LogAlerts alerts;
  private final @Nullable LogWriter writer;
  private final boolean endedCleanly;
  private volatile @Nullable Salvage salvage;

  private LogFile(Path path, StoreSettings settings, Database database, @Nullable WriterLock lock)
      throws StorageFailure {
    this.path = path;
    this.settings = settings;
    this.database = database;
    this.lock = lock;
    this.alerts = new LogAlerts(database);
    this.endedCleanly = database.read(LogFile::endedCleanly);
    if (lock == null) {
      this.reading = database;
      this.writer = null;
    } else {
      this.reading = Database.open(path, OpenMode.READER, settings);
      this.writer = new LogWriter(database, alerts, settings);
      database.onDamage(this::recover);
    }
  }

  /** Opens a log with the default settings. */
  public static LogFile open(Path path, OpenMode mode) throws StorageFailure {
    return open(path, mode, StoreSettings.DEFAULT);
  }

  /**
   * Opens a log. A writer creates, migrates and, where it is damaged, salvages it: see {@link
   * #salvage()}.
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
      return new LogFile(path, settings, database, null);
    } catch (StorageFailure e) {
      database.close();
      throw e;
    }
  }

  private static LogFile writer(Path path, StoreSettings settings) throws StorageFailure {
    WriterLock lock = WriterLock.take(path);
    try {
      Replacement.finish(path);
      return openOrSalvage(path, settings, lock);
    } catch (StorageFailure e) {
      lock.close();
      throw e;
    }
  }

  private static LogFile openOrSalvage(Path path, StoreSettings settings, WriterLock lock)
      throws StorageFailure {
    try {
      return openForWriting(path, settings, lock);
    } catch (StorageFailure e) {
      if (e.kind() != Kind.DAMAGED) {
        throw e;
      }
      Salvage saved = new Salvager(path, settings).run();
      LogFile log = openForWriting(path, settings, lock);
      // Once more: between what was saved and what the tail held there may be a hole, too.
      log.database.write(c -> new SalvageRepairs(c).tellHoles());
      log.salvage = saved;
      return log;
    }
  }

  private static LogFile openForWriting(Path path, StoreSettings settings, WriterLock lock)
      throws StorageFailure {
    refuseWhatIsNotOurs(path, settings);
    Database database = Database.open(path, OpenMode.WRITER, settings);
    try {
      database.prepareForWriting();
      database.write(Schema::migrate);
      List<ReadingsRow> tail = Tail.read(path);
      if (!tail.isEmpty()) {
        database.write(c -> putIn(c, tail));
      }
      if (!database.read(LogFile::endedCleanly) && size(path) <= CHECKED_BYTES) {
        database.plain(c -> check(path, c));
      }
      return new LogFile(path, settings, database, lock);
    } catch (StorageFailure e) {
      database.close();
      throw e;
    }
  }

  private static void putIn(Connection connection, List<ReadingsRow> tail) throws SQLException {
    for (ReadingsRow row : TailRows.missing(connection, tail)) {
      row.insert(connection, "recent");
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

  private static boolean endedCleanly(Connection connection) throws SQLException {
    return Database.number(
                connection,
                "SELECT min(ended) FROM session WHERE run ="
                    + " (SELECT max(run) FROM session WHERE run > 0)")
            .orElse(1)
        != 0;
  }

  /** The file. */
  public Path path() {
    return path;
  }

  /** True when the daemon's run before this one was closed in order, or there was none. */
  public boolean hasEndedCleanly() {
    return endedCleanly;
  }

  /** What was salvaged when the file was opened or later; empty as long as it was whole. */
  public Optional<Salvage> salvage() {
    return Optional.ofNullable(salvage);
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
    return new LogHistory(reading);
  }

  /** Time of the oldest reading of a pack, ms UTC; empty when there is none. */
  public OptionalLong oldestMs(String pack) throws StorageFailure {
    return reading.read(c -> LogHistory.oldestMs(c, pack));
  }

  /** Time of the newest entry of a pack; empty when there is none. */
  public OptionalLong newestMs(String pack) throws StorageFailure {
    return reading.read(c -> LogHistory.newestMs(c, pack));
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
    return new Statistics(reading);
  }

  /**
   * Brings many readings of a pack in at once.
   *
   * @throws IllegalStateException when the file was opened for reading
   */
  public Importer importer(String pack) throws StorageFailure {
    return new Importer(database, writer().numbers(), pack);
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
    List<ReadingsRow> tail = Tail.read(path);
    reading.plain(c -> Database.update(c, "VACUUM INTO ?", target.toAbsolutePath().toString()));
    if (!tail.isEmpty()) {
      try (Database copy = Database.open(target, OpenMode.WRITER, settings)) {
        copy.write(c -> putIn(c, tail));
      }
    }
  }

  /**
   * Salvages the file while it is open: the damaged one goes aside, and all that could be saved is
   * in a new one in its place. A change that meets damage does so by itself; this is for damage
   * that was met in another way, and for trying again. What waits to be written goes on waiting.
   *
   * @throws IllegalStateException when the file was opened for reading
   */
  public void recover() throws StorageFailure {
    reading.whileClosed(
        () -> database.whileClosed(() -> salvage = new Salvager(path, settings).run()));
    writer().salvaged();
  }

  /** Commits what waits, if this is the writer, and closes. */
  @Override
  public void close() throws StorageFailure {
    try {
      if (writer != null) {
        writer.end();
      }
    } finally {
      closeAll();
    }
  }

  private void closeAll() throws StorageFailure {
    try {
      if (writer != null) {
        writer.close();
        reading.close();
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
