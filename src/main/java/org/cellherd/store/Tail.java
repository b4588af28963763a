package org.cellherd.store;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.Reach;

/**
 * The latest minutes of readings in a small file beside the log, {@code FILE-tail}, until they go
 * into table {@code recent} together. A commit of SQLite writes the write-ahead log and, in time,
 * its shared index too; here the same rows cost one block of the card. The file has its full size
 * from the start, so that a sync writes no change of size and a full disk does not stop it.
 *
 * <pre>
 * record   4 bytes  length of the body
 *          4 bytes  CRC-32C of the body
 *          body     row number, pack, session, start, end, CRC, packed readings, the log's identity
 * </pre>
 *
 * <p>Row numbers rise from record to record; where they do not, an older use of the file shows
 * through, and there the tail ends. A damaged record costs itself: the next one is looked for
 * behind it.
 *
 * <p>The file has two halves. Once the rows of one are in their table the other is used, so that
 * rows whose commit the disk then loses, against its promise, are still there. Belongs to the
 * writer's thread; anybody may {@link #read}.
 */
final class Tail implements AutoCloseable {

  /**
   * Half an hour of some 13 packs at a row each ten seconds; a full tail goes into the table early.
   */
  private static final int HALF = 256 << 10;

  private static final int BLOCK = 4096;
  private static final int HEAD = 8;

  private final Path file;
  private final FileChannel channel;
  private final Object key;
  private final int identity;
  private int half;
  private int position;

  private Tail(Path file, FileChannel channel, int identity, int half) {
    this.file = file;
    this.channel = channel;
    this.key = Database.fileKey(file);
    this.identity = identity;
    this.half = half;
  }

  /**
   * What is found in a tail.
   *
   * @param rows its rows by rising number
   * @param identity that of the log it belongs to, 0 when nothing tells
   * @param isOrderly false when it is not as this class leaves it: cut, or damaged in between
   */
  public record Found(List<ReadingsRow> rows, int identity, boolean isOrderly) {
    public Found {
      rows = List.copyOf(rows);
    }
  }

  /** What stands in one half. */
  private record Half(List<ReadingsRow> rows, int identity, boolean isOrderly) {
    long newest() {
      return rows.isEmpty() ? 0 : rows.get(rows.size() - 1).id();
    }
  }

  /**
   * Opens the tail of a log for writing; what is in it must be in its table already. Begins in the
   * half that holds the older rows.
   *
   * @param identity of the log
   */
  public static Tail open(Path log, int identity) throws StorageFailure {
    Path file = file(log);
    try {
      FileChannel channel =
          FileChannel.open(
              file, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE);
      try {
        if (channel.size() != 2 * HALF) {
          allocate(channel);
        }
        boolean isFirstNewer = half(channel, 0).newest() > half(channel, 1).newest();
        return new Tail(file, channel, identity, isFirstNewer ? 1 : 0);
      } catch (IOException e) {
        channel.close();
        throw e;
      }
    } catch (IOException e) {
      throw failure(file, e);
    }
  }

  /**
   * Writes the file's full size block by block: a kernel may cache one large write as one unit, and
   * then count and write all of it back for every few bytes that change.
   */
  private static void allocate(FileChannel channel) throws IOException {
    channel.truncate(0);
    for (int at = 0; at < 2 * HALF; at += BLOCK) {
      writeAll(channel, ByteBuffer.allocate(BLOCK), at);
    }
    channel.force(true);
  }

  public static Path file(Path log) {
    return log.resolveSibling(log.getFileName() + "-tail");
  }

  private static StorageFailure failure(Path file, IOException cause) {
    return new StorageFailure(Kind.NO_SPACE, file + ": cannot be written (" + cause + ")", cause);
  }

  private static void writeAll(FileChannel channel, ByteBuffer bytes, long at) throws IOException {
    long next = at;
    while (bytes.hasRemaining()) {
      next += channel.write(bytes, next);
    }
  }

  /** False when it was moved or removed: what is written then, nobody finds. */
  public boolean isInPlace() {
    return Database.fileKey(file).equals(key);
  }

  /** Makes rows durable; false when they do not fit any more. */
  public boolean append(List<ReadingsRow> rows) throws StorageFailure {
    List<byte[]> bodies = rows.stream().map(row -> new TailRecord(row, identity).bytes()).toList();
    int size = bodies.stream().mapToInt(body -> HEAD + body.length).sum();
    if (position + size > HALF) {
      return false;
    }
    ByteBuffer bytes = ByteBuffer.allocate(size);
    for (byte[] body : bodies) {
      bytes.putInt(body.length).putInt((int) ReadingsRow.crc(body)).put(body);
    }
    try {
      writeAll(channel, bytes.flip(), (long) half * HALF + position);
      channel.force(false);
    } catch (IOException e) {
      throw failure(file, e);
    }
    position += size;
    return true;
  }

  /** All rows are in the table now: goes on in the other half. Writes nothing; numbers tell. */
  public void reset() {
    if (position > 0) {
      half = 1 - half;
      position = 0;
    }
  }

  /**
   * The rows in the tail of a log by rising number, from whichever process; none when there is no
   * tail. A tail that cannot be read costs its rows and a warning, never the log.
   */
  public static List<ReadingsRow> read(Path log) {
    return look(log).rows();
  }

  /** The same, and what is to be said of the file. */
  public static Found look(Path log) {
    Path file = file(log);
    if (!Files.isRegularFile(file)) {
      return new Found(List.of(), 0, true);
    }
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      Half first = half(channel, 0);
      Half second = half(channel, 1);
      List<ReadingsRow> rows = new ArrayList<>(first.rows());
      rows.addAll(second.rows());
      rows.sort(Comparator.comparingLong(ReadingsRow::id));
      boolean isWhole = channel.size() == 2 * HALF && first.isOrderly() && second.isOrderly();
      Half newer = first.newest() > second.newest() ? first : second;
      return new Found(rows, newer.identity(), isWhole);
    } catch (IOException e) {
      System.getLogger(Tail.class.getName())
          .log(
              System.Logger.Level.WARNING,
              "the latest minutes cannot be read: "
                  + Reach.trouble(log).orElse(file + ": " + e.getMessage()));
      return new Found(List.of(), 0, false);
    }
  }

  private static Half half(FileChannel channel, int half) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(HALF);
    while (bytes.hasRemaining()
        && channel.read(bytes, (long) half * HALF + bytes.position()) >= 0) {
      // A read may give less than is there.
    }
    return half(bytes.flip());
  }

  private static Half half(ByteBuffer bytes) {
    List<ReadingsRow> rows = new ArrayList<>();
    int identity = 0;
    boolean isOrderly = true;
    boolean isZero = true;
    int expected = 0;
    int at = 0;
    while (at + HEAD < bytes.limit()) {
      byte[] body = body(bytes, at);
      if (body.length == 0) {
        isZero &= bytes.get(at) == 0;
        at++;
        continue;
      }
      TailRecord found = TailRecord.of(body);
      ReadingsRow row = found.row();
      if (!rows.isEmpty() && row.id() <= rows.get(rows.size() - 1).id()) {
        break;
      }
      rows.add(row);
      identity = found.identity();
      isOrderly &= at == expected;
      at += HEAD + body.length;
      expected = at;
    }
    return new Half(rows, identity, isOrderly && (isZero || !rows.isEmpty()));
  }

  /** The body of a record that begins here; empty when none does. */
  private static byte[] body(ByteBuffer bytes, int at) {
    int length = bytes.getInt(at);
    if (length <= 0 || length > bytes.limit() - at - HEAD) {
      return new byte[0];
    }
    byte[] body = new byte[length];
    bytes.get(at + HEAD, body);
    boolean isWhole =
        (int) ReadingsRow.crc(body) == bytes.getInt(at + 4) && TailRecord.of(body).row().id() > 0;
    return isWhole ? body : new byte[0];
  }

  /** Removes the tail of a log; all that was in it is in the table, and is durable there. */
  public static void forget(Path log) throws StorageFailure {
    try {
      Files.deleteIfExists(file(log));
    } catch (IOException e) {
      throw failure(file(log), e);
    }
  }

  /** Closes and, when all its rows are in the table, removes the file. */
  public void end(boolean stored) throws StorageFailure {
    boolean isOurs = isInPlace();
    close();
    if (stored && isOurs) {
      try {
        Files.deleteIfExists(file);
      } catch (IOException e) {
        throw failure(file, e);
      }
    }
  }

  @Override
  public void close() throws StorageFailure {
    try {
      channel.close();
    } catch (IOException e) {
      throw failure(file, e);
    }
  }
}
