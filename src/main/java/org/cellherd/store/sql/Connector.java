package org.cellherd.store.sql;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteErrorCode;
import org.sqlite.SQLiteException;

/** How a connection is made, also after it was closed for a while. */
@FunctionalInterface
interface Connector {
  Connection connect() throws SQLException;

  /** As a log is usually opened; a writer creates the file where there is none. */
  static Connection usual(Path file, OpenMode mode, StoreSettings settings) throws SQLException {
    // SQLite deletes what waits beside an empty file.
    if (isEmpty(file) && !isEmpty(beside(file, "-wal"))) {
      throw new SQLiteException(
          "it is empty, but its write-ahead log is not", SQLiteErrorCode.SQLITE_CORRUPT);
    }
    SQLiteConfig config = new SQLiteConfig();
    config.setReadOnly(mode == OpenMode.READER);
    config.setBusyTimeout(settings.busyTimeoutMs());
    // Nobody asks for them, and each would be one more statement behind every row.
    config.setGetGeneratedKeys(false);
    return config.createConnection("jdbc:sqlite:" + file.toAbsolutePath());
  }

  /**
   * SQLite makes small files beside one in WAL mode even for reading, or changes those that are
   * there. Where that fails and nothing waits in a write-ahead log, the file is read as one that
   * never changes; else with the small file of an earlier run as it is ("URI Filenames In SQLite",
   * from memory: readonly_shm).
   */
  static Connection unwritable(Path file, StoreSettings settings) throws SQLException {
    try {
      return answering(usual(file, OpenMode.READER, settings));
    } catch (SQLException e) {
      return isEmpty(beside(file, "-wal"))
          ? alone(file)
          : answering(readOnly(file, "readonly_shm=1"));
    }
  }

  private static Connection answering(Connection connection) throws SQLException {
    try {
      Database.number(connection, "SELECT count(*) FROM sqlite_master");
      return connection;
    } catch (SQLException e) {
      closeQuietly(connection);
      throw e;
    }
  }

  /** An empty log in memory. */
  static Connection empty() throws SQLException {
    Connection empty = new SQLiteConfig().createConnection("jdbc:sqlite::memory:");
    Schema.migrate(empty);
    return empty;
  }

  /** A file without its write-ahead log, which nobody may be writing. */
  static Connection alone(Path file) throws SQLException {
    return readOnly(file, "immutable=1");
  }

  private static Connection readOnly(Path file, String how) throws SQLException {
    SQLiteConfig config = new SQLiteConfig();
    config.setReadOnly(true);
    return config.createConnection(
        "jdbc:sqlite:file:" + file.toAbsolutePath().toUri().getRawPath() + "?" + how);
  }

  private static Path beside(Path file, String ending) {
    return file.resolveSibling(file.getFileName() + ending);
  }

  private static boolean isEmpty(Path file) {
    try {
      return !Files.exists(file) || Files.size(file) == 0;
    } catch (IOException e) {
      return false;
    }
  }

  static void closeQuietly(Connection connection) {
    try {
      connection.close();
    } catch (SQLException e) {
      System.getLogger(Connector.class.getName())
          .log(System.Logger.Level.DEBUG, "closing a damaged file: {0}", e.getMessage());
    }
  }
}
