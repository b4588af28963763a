package org.cellherd.store;

import java.io.Closeable;
import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.cellherd.store.sql.Identity;

/**
 * The write-ahead log beside a database, byte by byte: SQLite believes it up to the first frame
 * whose check value does not match, and overwrites the rest. Each frame's check value goes on from
 * the one before, which stands in that frame's head, so that frames behind a damaged one can still
 * be told from rubbish. Format: SQLite, "WAL-mode File Format", sections 1 to 4. Must not change
 * while it is open. One thread.
 */
final class WriteAheadLog implements Closeable {
  private static final int MAGIC = 0x377f0682;
  private static final int HEAD = 32;
  private static final int FRAME_HEAD = 24;

  private final RandomAccessFile file;
  private final int pageBytes;
  private final boolean isHeadSound;
  private final ByteOrder order;
  private final Map<Integer, Long> believed = new TreeMap<>();
  private final Map<Integer, Long> sound = new TreeMap<>();
  private boolean isCommitBehindDamage;

  private WriteAheadLog(RandomAccessFile file, ByteBuffer head, int pageBytesElse)
      throws IOException {
    this.file = file;
    boolean isOurs = (head.getInt(0) & ~1) == MAGIC && DatabasePages.isPossible(head.getInt(8));
    this.order = (head.getInt(0) & 1) == 1 ? ByteOrder.BIG_ENDIAN : ByteOrder.LITTLE_ENDIAN;
    this.pageBytes = isOurs ? head.getInt(8) : pageBytesElse;
    this.isHeadSound = isOurs && sum(0, head, 0, 24) == head.getLong(24);
    if (DatabasePages.isPossible(pageBytes)) {
      readFrames(head);
    }
  }

  /** Where that of a database is. */
  public static Path file(Path database) {
    return database.resolveSibling(database.getFileName() + "-wal");
  }

  /** That of a database; empty when there is none, or one without a byte. */
  static Optional<WriteAheadLog> of(Path database) throws IOException {
    return of(file(database), database);
  }

  /** That of a database, which lies elsewhere. */
  static Optional<WriteAheadLog> of(Path path, Path database) throws IOException {
    if (!Files.isRegularFile(path) || Files.size(path) == 0) {
      return Optional.empty();
    }
    RandomAccessFile file = new RandomAccessFile(path.toFile(), "r");
    try {
      byte[] head = new byte[HEAD];
      file.readFully(head, 0, (int) Math.min(HEAD, file.length()));
      return Optional.of(new WriteAheadLog(file, ByteBuffer.wrap(head), pageBytesOf(database)));
    } catch (IOException e) {
      file.close();
      throw e;
    }
  }

  private static int pageBytesOf(Path database) {
    try (DatabasePages pages = DatabasePages.of(database)) {
      return pages.pageBytes();
    } catch (IOException none) {
      return 0;
    }
  }

  private void readFrames(ByteBuffer head) throws IOException {
    long salts = head.getLong(16);
    long before = head.getLong(24);
    boolean isBelieved = isHeadSound;
    Map<Integer, Long> transaction = new TreeMap<>();
    byte[] bytes = new byte[FRAME_HEAD + pageBytes];
    for (long at = HEAD; at + bytes.length <= file.length(); at += bytes.length) {
      file.seek(at);
      file.readFully(bytes);
      ByteBuffer frame = ByteBuffer.wrap(bytes);
      if (at == HEAD && !isHeadSound) {
        salts = frame.getLong(8);
      }
      boolean isSound = isSound(frame, before);
      before = frame.getLong(16);
      if (frame.getLong(8) != salts) {
        // Behind the newest frames lie those of an earlier use, all of them in the database.
        isBelieved = false;
        continue;
      }
      isBelieved &= isSound;
      if (isSound) {
        sound.put(frame.getInt(0), at + FRAME_HEAD);
        transaction.put(frame.getInt(0), at + FRAME_HEAD);
      }
      boolean isCommit = frame.getInt(4) != 0;
      if (isCommit && isBelieved) {
        believed.putAll(transaction);
        transaction.clear();
      }
      isCommitBehindDamage |= isCommit && isSound && !isBelieved;
    }
  }

  private boolean isSound(ByteBuffer frame, long before) {
    int number = frame.getInt(0);
    return number > 0
        && sum(sum(before, frame, 0, 8), frame, FRAME_HEAD, pageBytes) == frame.getLong(16);
  }

  /** Section 4.2: two sums, each of which feeds the other. */
  private long sum(long before, ByteBuffer bytes, int from, int length) {
    ByteBuffer words = bytes.duplicate().order(order);
    int first = (int) (before >>> 32);
    int second = (int) before;
    for (int at = from; at < from + length; at += 8) {
      first += words.getInt(at) + second;
      second += words.getInt(at + 4) + first;
    }
    return ((long) first << 32) | (second & 0xffff_ffffL);
  }

  /** False when SQLite would leave out a commit that can still be read, or the whole of it. */
  boolean isWhole() {
    return isHeadSound && !isCommitBehindDamage;
  }

  /** Identity of the log that it belongs to, 0 when it holds no first page. */
  int identity() throws IOException {
    Long first = sound.get(1);
    return first == null ? 0 : image(first).getInt(Identity.OFFSET);
  }

  /** True when SQLite takes a page from here and not from the database. */
  boolean replaces(int number) {
    return believed.containsKey(number);
  }

  /** Numbers of all pages that it holds in a state that can be relied on. */
  List<Integer> numbers() {
    return new ArrayList<>(sound.keySet());
  }

  /** Writes into a database what SQLite would, or into one that is empty all that there is. */
  void writeInto(Path database) throws IOException {
    try (RandomAccessFile to = new RandomAccessFile(database.toFile(), "rw")) {
      Map<Integer, Long> pages = to.length() == 0 ? sound : believed;
      for (Map.Entry<Integer, Long> page : pages.entrySet()) {
        to.seek((page.getKey() - 1L) * pageBytes);
        to.write(image(page.getValue()).array());
      }
    }
  }

  private ByteBuffer image(long at) throws IOException {
    byte[] bytes = new byte[pageBytes];
    file.seek(at);
    file.readFully(bytes);
    return ByteBuffer.wrap(bytes);
  }

  /** The pages of a database with all of these over them. */
  DatabasePages over(DatabasePages database) {
    return new DatabasePages() {
      @Override
      public int pageBytes() {
        return pageBytes;
      }

      @Override
      public long count() {
        return Math.max(database.count(), sound.isEmpty() ? 0 : numbers().get(sound.size() - 1));
      }

      @Override
      public ByteBuffer page(long number) throws IOException {
        Long at = sound.get((int) number);
        return at == null ? database.page(number) : image(at);
      }

      @Override
      public void close() throws IOException {
        database.close();
      }
    };
  }

  @Override
  public void close() throws IOException {
    file.close();
  }
}
