package org.cellherd.store.sql;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;

/**
 * Whether a name still stands for the file that was opened, and that file still for our log. Only
 * we and processes of ours write a log, through SQLite, and they leave its head as follows: the
 * identity stays, and the change counter never falls ("Database File Format", section 1.3.7). What
 * else writes over the file, such as a copy to its name, breaks one of the two.
 */
final class Place {

  private static final int COUNTER = 24;
  private static final int HEAD = 100;

  private final Path file;
  private final Object key;
  private ByteBuffer head;
  private boolean isOverwritten;

  /** The file that a name stands for now. */
  Place(Path file) {
    this.file = file;
    this.key = keyOf(file);
    this.head = head(file);
  }

  /**
   * Device and number of a file where the system has such, else what is always the same; {@code
   * "none"} where there is none.
   */
  static Object keyOf(Path file) {
    try {
      Object key = Files.readAttributes(file, BasicFileAttributes.class).fileKey();
      return key == null ? file : key;
    } catch (IOException gone) {
      return "none";
    }
  }

  /** False when the file was moved or removed, or another took its name. */
  boolean isThere() {
    return keyOf(file).equals(key);
  }

  /** True once something else was written over the file. */
  synchronized boolean isOverwritten() {
    ByteBuffer now = head(file);
    // Looked at again, for another process may just be writing the head.
    if (!isOverwritten && isThere() && !follows(now) && !follows(head(file))) {
      isOverwritten = true;
    } else if (!isOverwritten && follows(now)) {
      head = now;
    }
    return isOverwritten;
  }

  private boolean follows(ByteBuffer now) {
    if (!isHead(head)) {
      return true;
    }
    int identity = head.getInt(Identity.OFFSET);
    return isHead(now)
        && (identity == 0 || identity == now.getInt(Identity.OFFSET))
        && Integer.compareUnsigned(now.getInt(COUNTER), head.getInt(COUNTER)) >= 0;
  }

  private static boolean isHead(ByteBuffer bytes) {
    return bytes.limit() == HEAD && Identity.isMagic(bytes);
  }

  private static ByteBuffer head(Path file) {
    ByteBuffer bytes = ByteBuffer.allocate(HEAD);
    if (!Files.isRegularFile(file)) {
      return bytes.limit(0);
    }
    try (RandomAccessFile in = new RandomAccessFile(file.toFile(), "r")) {
      return bytes.limit(Math.max(0, in.getChannel().read(bytes, 0)));
    } catch (IOException unreadable) {
      return bytes.limit(0);
    }
  }
}
