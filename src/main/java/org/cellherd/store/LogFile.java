package org.cellherd.store;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.LongPredicate;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertLog;
import org.cellherd.analysis.fold.History;
import org.cellherd.pack.SessionStart.Before;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.Identity;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.Reach;
import org.cellherd.store.sql.Schema;
import org.cellherd.store.sql.StoreSettings;
import org.cellherd.store.sql.WriterLock;
import org.jspecify.annotations.Nullable;

/**
 * The log in one SQLite file. One process writes it; others open it as readers at the same time.
 * Everything handed out lives as long as this object. What is read goes through a connection of its
 * own, so a long replay never holds up a commit.
 */
public final class LogFile implements AutoCloseable {

  private final Path path;
  private final StoreSettings settings;
  private final Database database;
  private final Database reading;
  private final LogAlerts alerts;
  private final @Nullable LogWriter writer;
  private Before end;
  private final Reports reports = new Reports();
  private final Set<Loss> losses = Collections.synchronizedSet(new LinkedHashSet<>());
  private final Asked asked = new Asked();
  private final LogCheck check;
  private final boolean stoodIn;
  private int identity;
  private @Nullable WriterLock lock;
  private volatile @Nullable Salvage salvage;

  /** For reading only when both are the same. */
  private LogFile(Path path, StoreSettings settings, Database database, Database reading)
      throws StorageFailure {
    this.stoodIn = database.standsIn();
    this.path = path;
    this.settings = settings;
    this.database = database;
    this.reading = reading;
    this.alerts = new LogAlerts(database);
    this.identity = database.read(Identity::of);
    this.check = new LogCheck(reading, database, reports);
    this.end = database.read(Opening::end);
    if (database == reading) {
      this.writer = null;
    } else {
      this.writer = new LogWriter(database, alerts, settings, reports);
      database.onDamage(this::recover);
    }
  }

  /** Opens a log with the default settings. */
  public static LogFile open(Path path, OpenMode mode) throws StorageFailure {
    return open(path, mode, StoreSettings.DEFAULT);
  }

  /**
   * Opens a log. A writer creates, migrates and, where it is damaged, salvages it: see {@link
   * #salvage()}. On a disk that is full or read-only a writer opens a log that is there all the
   * same: it can be read, and each commit tries to open it for writing, until which everything
   * waits in memory.
   *
   * @throws StorageFailure {@code BUSY} when another process writes it (writers only), {@code
   *     NEWER} when a newer version wrote it, {@code NO_SPACE} when a new log cannot be made,
   *     {@code FOREIGN} when it is not a log, {@code REFUSED} when, for a reader, it is not there
   */
  public static LogFile open(Path path, OpenMode mode, StoreSettings settings)
      throws StorageFailure {
    return mode == OpenMode.READER ? reader(path, settings) : writer(path, settings);
  }

  /**
   * Opens a log for a watch that must not fail with its disk. Where the file cannot be opened, an
   * empty log in memory stands in: each commit tries to open the file, and what waited until then
   * goes in behind what it holds. From then on it {@link #isToBeReopened}, to know its past.
   *
   * @param why takes the failure for which one stands in
   * @throws StorageFailure {@code BUSY}, {@code NEWER} or {@code FOREIGN}, which only a human ends
   */
  public static LogFile openInAnyCase(
      Path named, StoreSettings settings, Consumer<StorageFailure> why) throws StorageFailure {
    try {
      return writer(named, settings);
    } catch (StorageFailure e) {
      if (!e.mayPass()) {
        throw e;
      }
      why.accept(e);
      return inPlaceOf(named, settings);
    }
  }

  /** An empty log that stands in for a file. */
  public static LogFile inPlaceOf(Path named, StoreSettings settings) throws StorageFailure {
    Path path = LinkedName.follow(named);
    Database empty = Database.inPlaceOf(path, settings);
    LogFile log = new LogFile(path, settings, empty, Database.inPlaceOf(path, settings));
    empty.beforeFirstChange(() -> log.beginWriting(named));
    return log;
  }

  /** True once what one stood in for could be opened: it knows nothing of what is in there. */
  public boolean isToBeReopened() {
    return stoodIn && !database.standsIn();
  }

  private static LogFile reader(Path named, StoreSettings settings) throws StorageFailure {
    Reach.toRead(named);
    Path path = LinkedName.follow(named);
    Database database = Database.open(path, OpenMode.READER, settings);
    try {
      database.plain(c -> Schema.checkReadable(path, c));
      return new LogFile(path, settings, database, database);
    } catch (StorageFailure e) {
      database.close();
      throw e;
    }
  }

  private static LogFile writer(Path named, StoreSettings settings) throws StorageFailure {
    Path path = LinkedName.follow(named);
    if (Files.isDirectory(path) || (Files.exists(path) && !Files.isReadable(path))) {
      Reach.toRead(path);
    }
    boolean isCopy = Identity.isCopy(path);
    LogFile log = whatever(named, settings);
    if (isCopy && log.database.read(Opening::latestRun) > 0) {
      log.end = Before.COPIED;
    }
    return log;
  }

  /** Whatever can be made of a file: it may need salvage, or be readable only. */
  private static LogFile whatever(Path named, StoreSettings settings) throws StorageFailure {
    try {
      Reports found = new Reports();
      Opening opening = Opening.of(named, settings, found);
      LogFile log;
      try {
        log = using(opening, settings);
      } catch (StorageFailure e) {
        if (e.kind() != Kind.DAMAGED) {
          throw e;
        }
        log = using(opening.salvaged(settings, found), settings);
      }
      found.all().forEach(log.reports::add);
      return log;
    } catch (StorageFailure e) {
      if (e.kind() != Kind.NO_SPACE || !Files.exists(named)) {
        throw e;
      }
      return unwritable(named, settings, e);
    }
  }

  private static LogFile using(Opening opening, StoreSettings settings) throws StorageFailure {
    Path path = opening.database().file();
    Database reading = Database.open(path, OpenMode.READER, settings);
    try {
      LogFile log = new LogFile(path, settings, opening.database(), reading);
      log.lock = opening.lock();
      log.database.writesUnder(opening.lock());
      log.salvage = opening.salvage().orElse(null);
      return log;
    } catch (StorageFailure e) {
      reading.close();
      throw e;
    }
  }

  /** A file on a disk that is full or read-only: all that is written waits until it is not. */
  private static LogFile unwritable(Path named, StoreSettings settings, StorageFailure why)
      throws StorageFailure {
    Path path = LinkedName.follow(named);
    Database view = Database.openUnwritable(path, settings);
    try {
      view.plain(
          c -> {
            if (Schema.version(c) == 0) {
              // Its making was cut short: there is nothing in it yet.
              throw why;
            }
            Schema.checkReadable(path, c);
          });
      LogFile log = new LogFile(path, settings, view, Database.openUnwritable(path, settings));
      // The tail's rows are not in their table.
      Tail.read(path).forEach(row -> log.writer().numbers().skipRecent(row.id()));
      view.beforeFirstChange(() -> log.beginWriting(named));
      return log;
    } catch (StorageFailure e) {
      view.close();
      throw e.kind() == Kind.DAMAGED
          ? new StorageFailure(why.kind(), why.getMessage() + "; it needs salvage, too", e)
          : e;
    }
  }

  /** Opens for writing what could only be read, or fails with {@code NO_SPACE} once more. */
  private synchronized void beginWriting(Path named) throws StorageFailure {
    if (lock == null) {
      // Closed meanwhile: connections of one process share what they know of a read-only disk.
      reading.whileClosed(
          () -> database.whileClosed(() -> begin(Opening.of(named, settings, reports))));
    }
  }

  private void begin(Opening opening) throws StorageFailure {
    FreeNumbers taken;
    try (Database there = opening.database()) {
      identity = there.read(Identity::of);
      taken = there.read(FreeNumbers::new);
    } catch (StorageFailure e) {
      opening.lock().close();
      throw e;
    }
    if (database.standsIn()) {
      writer().continueBehind(identity, taken);
    }
    lock = opening.lock();
    database.writesUnder(opening.lock());
    salvage = opening.salvage().orElse(null);
    database.becomeUsual(OpenMode.WRITER);
    reading.becomeUsual(OpenMode.READER);
  }

  /** The file; where its name is a link, what that leads to. */
  public Path path() {
    return path;
  }

  /** The UUID of the log: the same in its copies, and no other log's. */
  public String uuid() throws StorageFailure {
    return reading.read(Identity::uuid);
  }

  /** How the daemon's run before this one ended; in order where there was none. */
  public Before end() {
    return end;
  }

  /** What was salvaged when the file was opened or later; empty as long as it was whole. */
  public Optional<Salvage> salvage() {
    return Optional.ofNullable(salvage);
  }

  /** Readings that were asked for since it was opened and could not be given back. */
  public List<Loss> losses() {
    synchronized (losses) {
      return List.copyOf(losses);
    }
  }

  /** What was asked for since it was opened and was not given as it was written, in sentences. */
  public List<String> shortfalls() throws StorageFailure {
    List<String> sentences = new ArrayList<>();
    losses().forEach(loss -> sentences.add(loss.sentence()));
    sentences.addAll(reading.read(asked::shortfalls));
    return sentences;
  }

  /**
   * Reads all that the file holds against its check values and against what it says that there was;
   * {@link #shortfalls()} then tells what is wrong. Changes nothing.
   */
  public void examine() throws StorageFailure {
    asked.takeEverything(reading.read(Examination::packs));
    losses.addAll(reading.read(Examination::losses));
  }

  /**
   * Checks the next block of readings or some rows, a few kilobytes, and reports what is damaged.
   *
   * @return false when all were checked; the next call begins anew
   */
  public boolean checkNext() throws StorageFailure {
    return check.step();
  }

  /** What was found at the start or later and what was done about it, in sentences. */
  public List<String> reports() {
    return reports.all();
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

  public History history() {
    return new LogHistory(reading, losses::add, asked);
  }

  /** Time of the oldest reading of a pack, ms UTC; empty when there is none. */
  public OptionalLong oldestMs(String pack) throws StorageFailure {
    return LogHistory.oldestMs(reading, pack);
  }

  /** True when a process writes a log now. */
  public static boolean isBeingWritten(Path path) throws StorageFailure {
    return WriterLock.isHeld(LinkedName.follow(path));
  }

  /** Time of the newest entry of a pack; empty when there is none. */
  public OptionalLong newestMs(String pack) throws StorageFailure {
    return LogHistory.newestMs(reading, pack);
  }

  /** When a run first watched a pack; empty when none ever did. */
  public OptionalLong watchedFromMs(String pack) throws StorageFailure {
    return reading.read(c -> LogHistory.watchedFromMs(c, pack));
  }

  /** Tells the times of a pack's readings that were imported, ms UTC, from all others. */
  public LongPredicate importedTimes(String pack) throws StorageFailure {
    Stretches imported = reading.read(c -> Stretches.imported(c, pack));
    return imported::covers;
  }

  /**
   * Keeps what the rules said of a pack's imported readings, in place of what was kept of them
   * before. A broker never sees these events.
   */
  public void saveJudged(String pack, List<AlertEvent> events) throws StorageFailure {
    alerts.replaceJudged(pack, events);
  }

  /** The parts of a pack's log with one clock each, in order of happening. */
  public List<DatedStretch> stretches(String pack) throws StorageFailure {
    asked.takeAll(SealedTable.SESSION);
    return reading.read(c -> DatedStretch.of(c, pack));
  }

  /** Which readings of a pack were given other times, oldest first. */
  public List<Redating.Past> redatings(String pack) throws StorageFailure {
    asked.takeAll(SealedTable.REDATING);
    return reading.read(c -> Redating.Past.of(c, pack));
  }

  /** True when the log holds what the rules said of a pack's imported readings. */
  public boolean hasJudged(String pack) throws StorageFailure {
    return alerts.hasJudged(pack);
  }

  /** Alerts and their outbox; its changes need a file opened for writing. */
  public AlertLog alertLog() {
    asked.takeAll(SealedTable.ALERT);
    return alerts;
  }

  /** Events of a pack with {@code fromMs <= time < toMs} in the order in which they happened. */
  public List<StoredEvent> events(String pack, long fromMs, long toMs) throws StorageFailure {
    asked.take(SealedTable.EVENT, pack, fromMs, toMs);
    return alerts.events(pack, fromMs, toMs);
  }

  /**
   * Those of every pack and of the program itself, in the order of their times: what an import, a
   * wrong clock or a re-dating put in late stands where it belongs.
   */
  public List<StoredEvent> events(long fromMs, long toMs) throws StorageFailure {
    asked.take(SealedTable.EVENT, "", fromMs, toMs);
    return alerts.events(fromMs, toMs);
  }

  /** Which board belongs to which pack; its changes need a file opened for writing. */
  public Boards boards() {
    asked.takeAll(SealedTable.BOARD);
    return new Boards(database);
  }

  /** Acknowledgements and notes; its changes need a file opened for writing. */
  public Remarks remarks() {
    asked.takeAll(SealedTable.NOTE, SealedTable.NOTE_CHANGE, SealedTable.ACKNOWLEDGEMENT);
    return new Remarks(database);
  }

  /** What a centre does not hold yet; the file must be opened for writing. */
  public Journal journal() {
    return new Journal(database);
  }

  public Statistics statistics() {
    return new Statistics(reading, asked);
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
    BackupCopy.write(reading, target, settings);
  }

  /**
   * Salvages the file while it is open: the damaged one goes aside, and all that could be saved is
   * in a new one in its place. A change that meets damage does so by itself; this is for damage
   * that was met in another way, and for trying again. What waits to be written goes on waiting.
   *
   * @throws IllegalStateException when the file was opened for reading
   */
  public void recover() throws StorageFailure {
    // What does not fit together may be another's file and our write-ahead log.
    database.requireInPlace();
    reading.whileClosed(
        () ->
            database.whileClosed(
                () -> salvage = new Salvager(path, settings, identity, reports).run()));
    Salvage done = salvage;
    if (done != null) {
      reports.add(done.sentence());
      writer().salvaged(done);
    }
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
        if (!database.isInPlace()) {
          // The last writer to close deletes the write-ahead log by its name: another's by now.
          database.close();
        }
        reading.close();
        Opening.setOursAside(database, reports);
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
