package org.cellherd.store.sql;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.Optional;

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
  private Optional<ByteBuffer> head;
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
    Optional<ByteBuffer> now = head(file);
    // Looked at again, for another process may just be writing the head.
    if (!isOverwritten && isThere() && !follows(now) && !follows(head(file))) {
      isOverwritten = true;
    } else if (!isOverwritten && now.isPresent() && follows(now)) {
      head = now;
    }
    return isOverwritten;
  }

  /** False while the system does not give the file's first bytes. */
  boolean isReadable() {
    return head(file).isPresent();
  }

  /** What cannot be read proves nothing. */
  private boolean follows(Optional<ByteBuffer> now) {
    return head.isEmpty() || now.isEmpty() || follows(head.get(), now.get());
  }

  private static boolean follows(ByteBuffer before, ByteBuffer now) {
    if (!isHead(before)) {
      return true;
    }
    int identity = before.getInt(Identity.OFFSET);
    return isHead(now)
        && (identity == 0 || identity == now.getInt(Identity.OFFSET))
        && Integer.compareUnsigned(now.getInt(COUNTER), before.getInt(COUNTER)) >= 0;
  }

  private static boolean isHead(ByteBuffer bytes) {
    return bytes.limit() == HEAD && Identity.isMagic(bytes);
  }

  /** The first bytes of a file; empty where the system does not give them. */
  private static Optional<ByteBuffer> head(Path file) {
    ByteBuffer bytes = ByteBuffer.allocate(HEAD);
    if (!Files.isRegularFile(file)) {
      return Optional.of(bytes.limit(0));
    }
    try (RandomAccessFile in = new RandomAccessFile(file.toFile(), "r")) {
      return Optional.of(bytes.limit(Math.max(0, in.getChannel().read(bytes, 0))));
    } catch (IOException unreadable) {
      return Optional.empty();
    }
  }
}
