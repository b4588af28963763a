package org.cellherd.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.Identity;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.Reach;
import org.cellherd.store.sql.Schema;
import org.cellherd.store.sql.StoreSettings;
import org.jspecify.annotations.Nullable;

/**
 * What an earlier run left beside a log. It is looked at before SQLite opens the log for writing,
 * which deletes or overwrites what it cannot use: that is set aside, and what can be read of it is
 * gathered. One thread.
 */
final class Remains {

  /** Up to this size a file that was not closed in order is checked as a whole when opened. */
  private static final long CHECKED_BYTES = 64L << 20;

  /** What people were told comes first: a failure on the way must not cost an alert. */
  private static final List<String> TABLES =
      List.of(
          "alert",
          "event",
          "acknowledgement",
          "session",
          "note",
          "note_change",
          "redating",
          "finding",
          "gap");

  private static final int COLUMNS_OF_READINGS = 7;

  private final Path file;
  private final StoreSettings settings;
  private final Reports reports;
  private final Tail.Found tail;
  private int identity;
  private boolean tailIsOurs = true;
  private @Nullable Path gathered;

  private Remains(Path file, StoreSettings settings, Reports reports) {
    this.file = file;
    this.settings = settings;
    this.reports = reports;
    this.tail = Tail.look(file);
    this.identity = Identity.of(file);
  }

  /**
   * Looks, and sets aside what would be lost.
   *
   * @throws StorageFailure {@code DAMAGED} when the log itself must be salvaged, {@code FOREIGN}
   *     and {@code NEWER} when it is not ours; then nothing was changed
   */
  public static Remains secure(Path file, StoreSettings settings, Reports reports)
      throws StorageFailure {
    Remains remains = new Remains(file, settings, reports);
    try {
      remains.refuseLinkToNothing();
      remains.refuseWhatIsNotOurs();
      remains.secureTail();
      remains.secureFrames();
      return remains;
    } catch (IOException e) {
      // The log itself can perhaps be read all the same.
      String why =
          Reach.trouble(file)
              .orElse("what lies beside it cannot be copied (" + e.getMessage() + ")");
      throw new StorageFailure(Kind.NO_SPACE, file + ": " + why, e);
    }
  }

  /** A disk that is not mounted: what a killed run left beside the link belongs to its log. */
  private void refuseLinkToNothing() throws StorageFailure {
    boolean isLinkToNothing = Files.isSymbolicLink(file) && Files.notExists(file);
    if (isLinkToNothing && (tail.identity() != 0 || Files.exists(WriteAheadLog.file(file)))) {
      throw new StorageFailure(
          Kind.REFUSED, file + ": is a link to a file that is not there; is its disk mounted?");
    }
  }

  /** Looks read-only, so that a file of a newer version stays as it is to the last byte. */
  private void refuseWhatIsNotOurs() throws StorageFailure, IOException {
    if (!hasFile()) {
      return;
    }
    try (Database look = Database.openAlone(file, settings)) {
      look.plain(c -> Schema.check(file, c));
      settle(look.read(Identity::ofUuid));
    } catch (StorageFailure damaged) {
      if (damaged.kind() != Kind.DAMAGED) {
        throw damaged;
      }
      settle(OptionalInt.empty());
    }
  }

  /**
   * Trusts the number in the head, unless two other witnesses agree on another: something may have
   * written over the head alone. Then it is put right, for it is looked at while the log is open.
   *
   * @param ofUuid the number that the log's UUID begins with, where it can be read
   */
  private void settle(OptionalInt ofUuid) throws IOException {
    int frames = identityOfFrames();
    int beside = tail.identity() != 0 ? tail.identity() : frames;
    boolean isWitnessed =
        ofUuid.isPresent()
            ? ofUuid.getAsInt() == tail.identity() || ofUuid.getAsInt() == frames
            : tail.identity() == frames;
    int settled = ofUuid.orElse(beside);
    if (beside != 0 && isWitnessed && settled != identity) {
      Identity.put(file, settled);
      identity = settled;
    }
  }

  private int identityOfFrames() throws IOException {
    Optional<WriteAheadLog> found = WriteAheadLog.of(file);
    if (found.isEmpty()) {
      return 0;
    }
    try (WriteAheadLog frames = found.get()) {
      return frames.identity();
    }
  }

  private boolean hasFile() {
    return file.toFile().length() > 0;
  }

  private void secureTail() throws IOException {
    Path path = Tail.file(file);
    if (identity != 0 && tail.identity() != 0 && tail.identity() != identity) {
      tailIsOurs = false;
      say(path, moved(path), "belongs to another log and was not used");
    } else if (path.toFile().length() == 0 && Files.exists(path)) {
      reports.add(path + " is empty; the latest readings may have been in it.");
    } else if (!tail.isOrderly()) {
      say(path, copied(path), "is damaged; what can be read of it was used");
    }
  }

  private void secureFrames() throws IOException, StorageFailure {
    Path path = WriteAheadLog.file(file);
    Optional<WriteAheadLog> found = WriteAheadLog.of(file);
    if (!hasFile() && (found.isPresent() || !tail.rows().isEmpty())) {
      reports.add(file + " is missing or empty; it is rebuilt from the files beside it.");
    }
    if (found.isEmpty()) {
      if (Files.exists(file) && !hasFile() && tail.rows().isEmpty()) {
        reports.add(file + " was empty and had no write-ahead log; a new log was started in it.");
      }
      return;
    }
    boolean isOthers;
    boolean isWhole;
    try (WriteAheadLog frames = found.get()) {
      int owner = frames.identity();
      isOthers = identity != 0 && owner != 0 && owner != identity;
      isWhole = frames.isWhole();
    }
    if (!hasFile()) {
      gathered = isWhole ? null : copied(path);
    } else if (isOthers) {
      say(path, moved(path), "belongs to another log and was not used");
    } else if (!isSound(false) && isSound(true)) {
      gathered = moved(path);
      say(path, gathered, "does not match the log; what can be read of it was used");
    } else if (!isWhole) {
      gathered = copied(path);
      say(path, gathered, "is damaged; what can be read of it was used");
    }
  }

  private boolean isSound(boolean alone) throws StorageFailure {
    if (Files.exists(file) && file.toFile().length() > CHECKED_BYTES) {
      return true;
    }
    try (Database look =
        alone
            ? Database.openAlone(file, settings)
            : Database.open(file, OpenMode.READER, settings)) {
      return look.locked(c -> Database.pragma(c, "quick_check(1)")).equals("ok");
    } catch (StorageFailure e) {
      if (e.kind() != Kind.DAMAGED) {
        throw e;
      }
      return false;
    }
  }

  /**
   * Checks that an open file is as long as its pages: of one cut in a row's last page SQLite's own
   * check finds nothing, and reading that row fails.
   */
  public static void checkLength(Path file, Connection connection)
      throws SQLException, StorageFailure {
    int pages = Integer.parseInt(Database.pragma(connection, "page_count"));
    int pageBytes = Integer.parseInt(Database.pragma(connection, "page_size"));
    if (file.toFile().length() >= (long) pages * pageBytes) {
      return;
    }
    try (WriteAheadLog frames = WriteAheadLog.of(file).orElse(null)) {
      // The length last: others may bring the write-ahead log into the file meanwhile.
      for (int page = (int) (file.toFile().length() / pageBytes) + 1; page <= pages; page++) {
        if (frames == null || !frames.replaces(page)) {
          throw new StorageFailure(Kind.DAMAGED, file + ": the file is cut short");
        }
      }
    } catch (IOException e) {
      throw new StorageFailure(Kind.DAMAGED, file + ": its write-ahead log cannot be read", e);
    }
  }

  /** Checks an open file that was not closed in order. */
  public static void check(Path file, Connection connection) throws SQLException, StorageFailure {
    if (file.toFile().length() > CHECKED_BYTES) {
      return;
    }
    String verdict = Database.pragma(connection, "quick_check(1)");
    if (!verdict.equals("ok")) {
      throw new StorageFailure(Kind.DAMAGED, file + ": the file is damaged (" + verdict + ")");
    }
  }

  private void say(Path path, Path aside, String what) {
    reports.add(path + " " + what + "; it is kept as " + aside.getFileName() + ".");
  }

  private Path moved(Path path) throws IOException {
    Path aside = Replacement.freeAside(path);
    Files.move(path, aside);
    return aside;
  }

  private Path copied(Path path) throws IOException {
    Optional<Path> newest = Replacement.newestAside(path);
    if (newest.isPresent() && Files.mismatch(path, newest.get()) < 0) {
      // A start that failed later on has kept it.
      return newest.get();
    }
    return Files.copy(path, Replacement.freeAside(path), StandardCopyOption.COPY_ATTRIBUTES);
  }

  /** The log's identity as far as anything here tells, else a new one. */
  public int identity() {
    int known = identity != 0 ? identity : tail.identity();
    return known != 0 ? known : Identity.draw();
  }

  /**
   * Puts what was found into the open log, where it is missing.
   *
   * @param pages the file that the write-ahead log was beside
   */
  public void putInto(Database log, Path pages) throws StorageFailure {
    List<ReadingsRow> rows = new ArrayList<>();
    Path frames = gathered;
    if (frames != null) {
      log.write(c -> gather(c, frames, pages, rows));
    }
    if (tailIsOurs) {
      rows.addAll(tail.rows());
    }
    if (!rows.isEmpty()) {
      log.write(c -> reports.addAll(new FoundRows(c).put(rows)));
    }
  }

  private void gather(Connection to, Path frames, Path pages, List<ReadingsRow> readings)
      throws SQLException {
    try {
      Optional<WriteAheadLog> found = WriteAheadLog.of(frames, pages);
      if (found.isEmpty() || found.get().numbers().isEmpty()) {
        return;
      }
      try (WriteAheadLog log = found.get();
          StrayRows rows = StrayRows.of(log.over(base(pages)))) {
        for (String table : TABLES) {
          TableWalk.ofStrays(to, table, taker -> each(rows, log, taker));
        }
        each(rows, log, (number, columns) -> reading(number, columns).ifPresent(readings::add));
      }
    } catch (IOException e) {
      reports.add(frames + " cannot be read (" + e.getMessage() + ").");
    }
  }

  /** The database under the frames; where there is none of that page size, nothing. */
  private static DatabasePages base(Path pages) {
    try {
      return DatabasePages.of(pages);
    } catch (IOException none) {
      return DatabasePages.none();
    }
  }

  private static void each(StrayRows rows, WriteAheadLog log, StrayRows.Taker taker)
      throws SQLException {
    try {
      rows.forEachOf(log.numbers(), taker);
    } catch (IOException e) {
      throw new SQLException("frames of a write-ahead log: " + e.getMessage(), e);
    }
  }

  private static Optional<ReadingsRow> reading(long number, @Nullable Object[] columns) {
    if (columns.length != COLUMNS_OF_READINGS
        || !(columns[1] instanceof String pack)
        || !(columns[2] instanceof Long session)
        || !(columns[3] instanceof Long start)
        || !(columns[4] instanceof Long end)
        || !(columns[5] instanceof Long crc)
        || !(columns[6] instanceof byte[] data)
        || ReadingsRow.crc(data) != crc) {
      return Optional.empty();
    }
    return Optional.of(
        new ReadingsRow(number, pack, session, start, end, crc, new PackedBytes(data)));
  }
}
