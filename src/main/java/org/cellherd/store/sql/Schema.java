package org.cellherd.store.sql;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;

/** Which schema a file has, and how it becomes today's. */
public final class Schema {

  /** Marks the file as a log of this program: "clhd" in ASCII. */
  public static final int APPLICATION_ID = 0x636c6864;

  /**
   * All steps: the first makes version 1, each other one the version after that before it. A step
   * that was released is never changed: add another.
   */
  public static final List<Migration> STEPS =
      List.of(
          FirstSchema::make,
          Schema::board,
          Schema::noteChange,
          Schema::redating,
          Schema::identity,
          Evidence::make,
          Schema::forwarding,
          Schema::unforwarded);

  /** Today's version. */
  public static final int VERSION = STEPS.size();

  private Schema() {}

  /**
   * Refuses a file of another program or of a newer version, without changing it.
   *
   * @throws StorageFailure also {@code DAMAGED}, where a log no longer says that it is one
   */
  public static void check(Path file, Connection connection) throws SQLException, StorageFailure {
    long tables = Database.number(connection, "SELECT count(*) FROM sqlite_master").orElse(0);
    if (tables == 0) {
      return;
    }
    if (!Database.pragma(connection, "application_id").equals(Integer.toString(APPLICATION_ID))) {
      if (Identity.ofUuid(connection).isPresent()) {
        throw new StorageFailure(Kind.DAMAGED, file + ": the head of the file is damaged");
      }
      throw new StorageFailure(Kind.FOREIGN, file + ": is a database, but not a log of cellherd");
    }
    int found = version(connection);
    if (found > VERSION) {
      throw new StorageFailure(
          Kind.NEWER,
          file
              + ": has schema version "
              + found
              + ", this program knows up to "
              + VERSION
              + "; nothing was changed. Use the newer program, or another file");
    }
  }

  /** Refuses a file that this version cannot read as it is. */
  public static void checkReadable(Path file, Connection connection)
      throws SQLException, StorageFailure {
    check(file, connection);
    int found = version(connection);
    if (found != VERSION) {
      throw new StorageFailure(
          Kind.REFUSED,
          file
              + ": has schema version "
              + found
              + ", this program reads "
              + VERSION
              + "; open it once for writing (cellherd run) to bring it up to date");
    }
  }

  /** Brings the file to today's version; call inside a transaction. */
  public static void migrate(Connection connection) throws SQLException {
    for (int version = version(connection) + 1; version <= VERSION; version++) {
      STEPS.get(version - 1).apply(connection);
      Database.update(connection, "INSERT INTO schema_version(version) VALUES (?)", version);
    }
    Identity.ensure(connection);
  }

  /** The file's version; 0 for an empty file. */
  public static int version(Connection connection) throws SQLException {
    boolean known =
        Database.number(
                    connection, "SELECT count(*) FROM sqlite_master WHERE name = 'schema_version'")
                .orElse(0)
            > 0;
    return known
        ? (int) Database.number(connection, "SELECT max(version) FROM schema_version").orElse(0)
        : 0;
  }

  /** Which board belongs to which pack. */
  private static void board(Connection connection) throws SQLException {
    Database.execute(
        connection,
        "CREATE TABLE board(id INTEGER PRIMARY KEY, pack TEXT NOT NULL UNIQUE,"
            + " identity TEXT NOT NULL, since_ms INTEGER NOT NULL)");
  }

  /** What was corrected in notes, and which were withdrawn. */
  private static void noteChange(Connection connection) throws SQLException {
    Database.execute(
        connection,
        "CREATE TABLE note_change(id INTEGER PRIMARY KEY, note_id INTEGER NOT NULL,"
            + " at_ms INTEGER NOT NULL, by TEXT NOT NULL, text TEXT)");
  }

  /** Which readings were given other times: {@code from_ms} and {@code to_ms} are the old ones. */
  private static void redating(Connection connection) throws SQLException {
    Database.execute(
        connection,
        "CREATE TABLE redating(id INTEGER PRIMARY KEY, pack TEXT NOT NULL, at_ms INTEGER NOT NULL,"
            + " by TEXT NOT NULL, from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL,"
            + " offset_ms INTEGER NOT NULL, readings INTEGER NOT NULL,"
            + " stretches INTEGER NOT NULL, gaps INTEGER NOT NULL)");
  }

  /** The UUID of the log; {@link Identity#ensure} fills it in, in old logs too. */
  private static void identity(Connection connection) throws SQLException {
    Database.execute(
        connection, "CREATE TABLE identity(id INTEGER PRIMARY KEY, uuid TEXT NOT NULL)");
  }

  /**
   * What a centre has not got yet. {@code change} names each key whose rows changed, under a number
   * that is never used again: the revision of what the key has then. Nothing is noted while {@code
   * forwarding} is empty. Rows that are retired ({@code retiring} 1) stay at the centre; with
   * {@code waits} 1 nothing is retired that it does not hold yet.
   */
  private static void forwarding(Connection connection) throws SQLException {
    Database.execute(
        connection,
        "CREATE TABLE forwarding(id INTEGER PRIMARY KEY, retiring INTEGER NOT NULL DEFAULT 0,"
            + " waits INTEGER NOT NULL DEFAULT 0)");
    Database.execute(
        connection,
        "CREATE TABLE change(rev INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL,"
            + " key TEXT NOT NULL, UNIQUE (kind, key))");
    ChangeTriggers.make(connection);
  }

  /** A log that no centre gets has no triggers for one: forwarding makes them when it begins. */
  private static void unforwarded(Connection connection) throws SQLException {
    if (Database.number(connection, "SELECT count(*) FROM forwarding").orElse(0) == 0) {
      ChangeTriggers.drop(connection);
    }
  }
}
