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

/**
 * The number by which a log knows the files beside it for its own: drawn once, kept in the field of
 * SQLite's head that is the user's ("Database File Format", section 1.3.9), so that it can be read
 * where nothing else can. 0 is a log whose number is not known.
 */
public final class Identity {

  /** Where it stands in the first page. */
  public static final int OFFSET = 60;

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

  /** A new number. */
  public static int draw() {
    return 1 + new SecureRandom().nextInt(Integer.MAX_VALUE);
  }

  /** That of an open log. */
  public static int of(Connection connection) throws SQLException {
    return Integer.parseInt(Database.pragma(connection, "user_version"));
  }

  /** Gives an open log a number that has none; inside a transaction. */
  static void ensure(Connection connection) throws SQLException {
    if (of(connection) == 0) {
      Database.pragma(connection, "user_version=" + draw());
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
