package org.cellherd.store.sql;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.locks.ReentrantLock;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.jspecify.annotations.Nullable;

/**
 * One connection and who may use it: any thread, one at a time. Driver errors leave as {@link
 * StorageFailure}. Work inside work joins the outer transaction.
 */
public final class Database implements AutoCloseable {

  /** Work on the connection that gives a result. */
  @FunctionalInterface
  public interface Work<T extends @Nullable Object> {
    T run(Connection connection) throws SQLException, StorageFailure;
  }

  /** Work on the connection. */
  @FunctionalInterface
  public interface Task {
    void run(Connection connection) throws SQLException, StorageFailure;
  }

  /** What to do when a change meets damage, such as to salvage the file. */
  @FunctionalInterface
  public interface Recovery {
    void run() throws StorageFailure;
  }

  /** Memory for pages, as in the measurements that the layout rests on. */
  private static final int CACHE_KIB = 2048;

  private final Path file;
  private OpenMode mode;
  private final StoreSettings settings;
  private final ReentrantLock lock = new ReentrantLock();
  private Connector connector;
  private Connection connection;
  private Place place;
  private @Nullable Recovery recovery;
  private volatile @Nullable Recovery opening;
  private volatile @Nullable WriterLock guard;
  private boolean inTransaction;
  private boolean isClosed;
  private boolean standsIn;

  private Database(Path file, OpenMode mode, StoreSettings settings, Connector connector)
      throws StorageFailure {
    this.file = file;
    this.mode = mode;
    this.settings = settings;
    this.connector = connector;
    try {
      this.connection = connector.connect();
      this.place = new Place(file);
    } catch (SQLException e) {
      throw Failures.of(file, e);
    }
  }

  /** Opens a connection; a writer creates the file where there is none. */
  public static Database open(Path file, OpenMode mode, StoreSettings settings)
      throws StorageFailure {
    return new Database(file, mode, settings, () -> Connector.usual(file, mode, settings));
  }

  /**
   * Opens a file on a disk that is full or read-only so that at least it can be read; changes fail
   * until {@link #becomeUsual}.
   */
  public static Database openUnwritable(Path file, StoreSettings settings) throws StorageFailure {
    return new Database(
        file, OpenMode.READER, settings, () -> Connector.unwritable(file, settings));
  }

  /** An empty log in memory in place of a file that cannot be opened, see {@link #becomeUsual}. */
  public static Database inPlaceOf(Path file, StoreSettings settings) throws StorageFailure {
    Database empty = new Database(file, OpenMode.READER, settings, Connector::empty);
    empty.standsIn = true;
    return empty;
  }

  /** Opens a file without its write-ahead log, which nobody may be writing. */
  public static Database openAlone(Path file, StoreSettings settings) throws StorageFailure {
    return new Database(file, OpenMode.READER, settings, () -> Connector.alone(file));
  }

  /** The file. */
  public Path file() {
    return file;
  }

  /**
   * Sets what only a writer sets; page size and identity only where the file is still empty.
   *
   * @param identity of a new log; 0 leaves it for later
   */
  public void prepareForWriting(int identity) throws StorageFailure {
    plain(
        c -> {
          // The page size must come first: it is fixed once the file is in WAL mode.
          pragma(c, "page_size=" + settings.pageBytes());
          if (identity != 0 && pragma(c, "page_count").equals("0")) {
            // Before there is a write-ahead log, so that the file itself has it.
            pragma(c, "user_version=" + identity);
          }
          pragma(c, "journal_mode=WAL");
          pragma(c, "cache_size=-" + CACHE_KIB);
          // FULL syncs the log at each commit: NORMAL would lose commits with the power.
          pragma(c, "synchronous=FULL");
          pragma(c, "wal_autocheckpoint=" + (4 << 20) / settings.pageBytes());
          pragma(c, "journal_size_limit=" + (8 << 20));
        });
  }

  /** Sets what makes an unwritable file writable, or fails; each change begins with it. */
  public void beforeFirstChange(Recovery what) {
    opening = what;
  }

  /** False for a file that could only be opened for reading although it is to be written. */
  public boolean isWritable() {
    return opening == null;
  }

  /** From the next connection on the file is opened as usual; see {@link #whileClosed}. */
  public void becomeUsual(OpenMode usual) {
    mode = usual;
    connector = () -> Connector.usual(file, usual, settings);
    opening = null;
    standsIn = false;
  }

  /** True while an empty log in memory stands in for the file. */
  public boolean standsIn() {
    return standsIn;
  }

  /** Writes only while this lock is kept. */
  public void writesUnder(WriterLock only) {
    guard = only;
  }

  /** Sets what a change does when it meets damage, before it is tried once more. */
  public void onDamage(Recovery what) {
    recovery = what;
  }

  /** Runs work in one read view. */
  public <T extends @Nullable Object> T read(Work<T> work) throws StorageFailure {
    return locked(c -> transaction("BEGIN", work));
  }

  /**
   * Which file a name stands for: device and number where the system has such, else what is always
   * the same.
   */
  public static Object fileKey(Path file) {
    return Place.keyOf(file);
  }

  /** False when the log is no longer this program's to write, see {@link #displacement}. */
  public boolean isInPlace() {
    return displaced().isEmpty();
  }

  /** What happened to the file since it was opened, one clause; empty when it can be written. */
  public Optional<String> displacement() {
    return displaced().map(Displacement::clause);
  }

  private Optional<Displacement> displaced() {
    if (!place.isThere()) {
      return Optional.of(Displacement.MOVED);
    }
    if (place.isOverwritten()) {
      return Optional.of(Displacement.OVERWRITTEN);
    }
    return isAlone() ? Optional.empty() : Optional.of(Displacement.OTHERS);
  }

  private boolean isAlone() {
    WriterLock only = guard;
    return only == null || only.isKept();
  }

  /** True when something else was written over the file since it was opened. */
  public boolean isOverwritten() {
    return place.isOverwritten();
  }

  /**
   * Refuses to touch what is not the file that was opened.
   *
   * @throws StorageFailure {@code REFUSED} with what happened to it, {@code BUSY} while it cannot
   *     be read
   */
  public void requireInPlace() throws StorageFailure {
    if (place.isThere() && !place.isReadable()) {
      // Of a disk that fails as a whole SQLite says that the file is damaged.
      throw new StorageFailure(Kind.BUSY, file + ": cannot be read; its disk fails");
    }
    Optional<Displacement> how = displaced();
    if (how.isPresent()) {
      throw new StorageFailure(Kind.REFUSED, file + ": " + how.get().advice());
    }
  }

  /** Runs work as one durable change, all or nothing; it may be run twice. */
  public <T extends @Nullable Object> T change(Work<T> work) throws StorageFailure {
    Recovery first = opening;
    if (first != null) {
      first.run();
    }
    requireInPlace();
    try {
      return locked(c -> transaction("BEGIN IMMEDIATE", work));
    } catch (StorageFailure e) {
      Recovery what = recovery;
      if (what == null || e.kind() != Kind.DAMAGED || lock.isHeldByCurrentThread()) {
        throw e;
      }
      what.run();
      return locked(c -> transaction("BEGIN IMMEDIATE", work));
    }
  }

  /** Runs a task as one durable change, all or nothing; it may be run twice. */
  public void write(Task task) throws StorageFailure {
    change(
        c -> {
          task.run(c);
          return true;
        });
  }

  /** Runs a task outside any transaction, such as a checkpoint or a back-up. */
  public void plain(Task task) throws StorageFailure {
    locked(
        c -> {
          task.run(c);
          return true;
        });
  }

  /** Runs work outside any transaction, for a file where even beginning one may fail. */
  public <T extends @Nullable Object> T locked(Work<T> work) throws StorageFailure {
    lock.lock();
    try {
      reconnect();
      return work.run(connection);
    } catch (SQLException e) {
      throw Failures.of(file, e);
    } finally {
      lock.unlock();
    }
  }

  private <T extends @Nullable Object> T transaction(String begin, Work<T> work)
      throws SQLException, StorageFailure {
    if (inTransaction) {
      return work.run(connection);
    }
    execute(connection, begin);
    inTransaction = true;
    boolean done = false;
    try {
      T result = work.run(connection);
      execute(connection, "COMMIT");
      done = true;
      return result;
    } finally {
      inTransaction = false;
      if (!done) {
        rollBack();
      }
    }
  }

  private void rollBack() {
    try {
      execute(connection, "ROLLBACK");
    } catch (SQLException e) {
      // SQLite has rolled back by itself after a full disk; the first error is the one that counts.
      System.getLogger(Database.class.getName())
          .log(System.Logger.Level.DEBUG, "roll-back: {0}", e.getMessage());
    }
  }

  /** Closes the connection, runs something that may replace the file, and opens it again. */
  public void whileClosed(Recovery what) throws StorageFailure {
    locked(
        c -> {
          Connector.closeQuietly(c);
          isClosed = true;
          try {
            what.run();
          } finally {
            reconnect();
          }
          return true;
        });
    if (mode == OpenMode.WRITER) {
      prepareForWriting(0);
    }
  }

  /** Where the file could not be opened again, each use tries once more. */
  private void reconnect() throws SQLException {
    if (isClosed) {
      connection = connector.connect();
      place = new Place(file);
      isClosed = false;
    }
  }

  @Override
  public void close() throws StorageFailure {
    plain(Connection::close);
  }

  /** Runs a statement that gives no rows. */
  public static void execute(Connection connection, String sql) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      statement.execute(sql);
    }
  }

  /** Runs a pragma and takes its row, which would else hold the next commit up. */
  public static String pragma(Connection connection, String pragma) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      boolean rows = statement.execute("PRAGMA " + pragma);
      if (!rows) {
        return "";
      }
      try (ResultSet row = statement.getResultSet()) {
        return row.next() ? String.valueOf(row.getString(1)) : "";
      }
    }
  }

  /** The one number of a query; empty when there is no row or it is NULL. */
  public static OptionalLong number(Connection connection, String sql, Object... values)
      throws SQLException {
    try (PreparedStatement statement = prepare(connection, sql, values);
        ResultSet row = statement.executeQuery()) {
      if (!row.next()) {
        return OptionalLong.empty();
      }
      long value = row.getLong(1);
      return row.wasNull() ? OptionalLong.empty() : OptionalLong.of(value);
    }
  }

  /** Makes something of a row of a query. */
  @FunctionalInterface
  public interface RowReader<T, E extends Exception> {
    T read(ResultSet row) throws SQLException, E;
  }

  /** Takes the rows of a query, one by one. */
  @FunctionalInterface
  public interface RowTaker<E extends Exception> {
    void take(ResultSet row) throws SQLException, E;
  }

  /** What each row of a query stands for, in its order. */
  public static <T, E extends Exception> List<T> rows(
      Connection connection, String sql, RowReader<T, E> reader, @Nullable Object... values)
      throws SQLException, E {
    List<T> rows = new ArrayList<>();
    Database.<E>each(connection, sql, row -> rows.add(reader.read(row)), values);
    return rows;
  }

  /** What the first row of a query stands for; empty when there is none. */
  public static <T, E extends Exception> Optional<T> first(
      Connection connection, String sql, RowReader<T, E> reader, @Nullable Object... values)
      throws SQLException, E {
    try (PreparedStatement statement = prepare(connection, sql, values);
        ResultSet row = statement.executeQuery()) {
      return row.next() ? Optional.of(reader.read(row)) : Optional.empty();
    }
  }

  /** Hands over the rows of a query; one at a time is in memory. */
  public static <E extends Exception> void each(
      Connection connection, String sql, RowTaker<E> taker, @Nullable Object... values)
      throws SQLException, E {
    try (PreparedStatement statement = prepare(connection, sql, values);
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        taker.take(row);
      }
    }
  }

  /** Runs a change with values; the number of rows changed. */
  public static int update(Connection connection, String sql, @Nullable Object... values)
      throws SQLException {
    try (PreparedStatement statement = prepare(connection, sql, values)) {
      return statement.executeUpdate();
    }
  }

  /** A statement with its values bound in order. */
  public static PreparedStatement prepare(
      Connection connection, String sql, @Nullable Object... values) throws SQLException {
    PreparedStatement statement = connection.prepareStatement(sql);
    try {
      bind(statement, values);
      return statement;
    } catch (SQLException e) {
      statement.close();
      throw e;
    }
  }

  /** Binds values in order. */
  public static void bind(PreparedStatement statement, @Nullable Object... values)
      throws SQLException {
    for (int i = 0; i < values.length; i++) {
      Object value = values[i];
      if (value instanceof Boolean flag) {
        statement.setInt(i + 1, flag ? 1 : 0);
      } else if (value instanceof Long number) {
        statement.setLong(i + 1, number);
      } else if (value instanceof byte[] bytes) {
        statement.setBytes(i + 1, bytes);
      } else {
        statement.setObject(i + 1, value);
      }
    }
  }
}
