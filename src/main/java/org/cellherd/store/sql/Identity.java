package org.cellherd.store.sql;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.Arrays;
import java.util.OptionalInt;
import java.util.UUID;

/**
 * The number by which a log knows the files beside it for its own: drawn once, kept in the field of
 * SQLite's head that is the user's ("Database File Format", section 1.3.9), so that it can be read
 * where nothing else can. 0 is a log whose number is not known. It is the beginning of the log's
 * UUID, by which the world outside knows it from every other.
 */
public final class Identity {

  /** How a UUID is written. */
  public static final String FORM = "[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}";

  /** Where it stands in the first page. */
  public static final int OFFSET = 60;

  private static final int WRITE_VERSION = 18;

  private static final byte[] MAGIC = "SQLite format 3\0".getBytes(StandardCharsets.US_ASCII);

  private Identity() {}

  /** True when bytes begin as a file of SQLite does. */
  static boolean isMagic(ByteBuffer bytes) {
    byte[] begin = new byte[MAGIC.length];
    if (bytes.limit() < begin.length) {
      return false;
    }
    bytes.get(0, begin);
    return Arrays.equals(begin, MAGIC);
  }

  public static int draw() {
    return 1 + new SecureRandom().nextInt(Integer.MAX_VALUE);
  }

  /** That of an open log. */
  public static int of(Connection connection) throws SQLException {
    return Integer.parseInt(Database.pragma(connection, "user_version"));
  }

  /**
   * The number that the log's UUID begins with, also where the file's head was overwritten; empty
   * where it has no UUID (before version 5, or none of ours).
   */
  public static OptionalInt ofUuid(Connection connection) throws SQLException {
    if (Database.number(connection, "SELECT count(*) FROM sqlite_master WHERE name = 'identity'")
            .orElse(0)
        == 0) {
      return OptionalInt.empty();
    }
    String uuid = uuid(connection);
    return uuid.matches(FORM)
        ? OptionalInt.of(Integer.parseUnsignedInt(uuid.substring(0, 8), 16))
        : OptionalInt.empty();
  }

  /** Gives an open log a number and a UUID where it has none; inside a transaction. */
  static void ensure(Connection connection) throws SQLException {
    if (of(connection) == 0) {
      Database.pragma(connection, "user_version=" + draw());
    }
    if (Database.number(connection, "SELECT count(*) FROM identity").orElse(0) == 0) {
      UUID random = UUID.randomUUID();
      long begin = (long) of(connection) << 32;
      UUID ours =
          new UUID(
              begin | (random.getMostSignificantBits() & 0xffff_ffffL),
              random.getLeastSignificantBits());
      Database.update(connection, "INSERT INTO identity VALUES (1, ?)", ours.toString());
    }
  }

  /** The UUID of an open log. */
  public static String uuid(Connection connection) throws SQLException {
    String sql = "SELECT uuid FROM identity WHERE id = 1";
    return Database.first(connection, sql, row -> row.getString(1)).orElse("");
  }

  /**
   * True of a copy that no writer has opened since it was made: writers keep a write-ahead log, as
   * the file's write version says ("Database File Format", section 1.3.3), and a copy has none.
   */
  public static boolean isCopy(Path file) {
    if (of(file) == 0) {
      return false;
    }
    try (RandomAccessFile bytes = new RandomAccessFile(file.toFile(), "r")) {
      bytes.seek(WRITE_VERSION);
      return bytes.read() == 1;
    } catch (IOException unreadable) {
      return false;
    }
  }

  /** Writes the number of a log that is not open over what something else wrote there. */
  public static void put(Path file, int identity) throws IOException {
    try (RandomAccessFile bytes = new RandomAccessFile(file.toFile(), "rwd")) {
      bytes.seek(OFFSET);
      bytes.writeInt(identity);
    }
  }

  /** What the file itself says, whatever waits in its write-ahead log. */
  public static int of(Path file) {
    if (!Files.isRegularFile(file)) {
      return 0;
    }
    try (RandomAccessFile bytes = new RandomAccessFile(file.toFile(), "r")) {
      byte[] magic = new byte[MAGIC.length];
      if (bytes.length() < OFFSET + 4) {
        return 0;
      }
      bytes.readFully(magic);
      bytes.seek(OFFSET);
      return Arrays.equals(magic, MAGIC) ? bytes.readInt() : 0;
    } catch (IOException unreadable) {
      return 0;
    }
  }
}
