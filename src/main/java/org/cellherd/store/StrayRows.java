package org.cellherd.store;

import java.io.IOException;
import java.nio.BufferUnderflowException;
import java.nio.ByteBuffer;
import java.nio.file.Path;
import java.sql.SQLException;
import java.util.HashSet;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Rows of tables whose inner pages are lost: every page of the file that looks like a leaf is read
 * for what it holds, whether anything still leads there or not. Format: SQLite, "Database File
 * Format", sections 1.5 and 1.6. Close it after use.
 */
final class StrayRows implements AutoCloseable {
  private static final int LEAF = 13;
  private static final int HEAD = 8;
  private static final long MOST_BYTES = 64L << 20;

  private final DatabasePages file;
  private final int pageBytes;
  private final long pages;
  private final Set<Long> unused = new HashSet<>();

  /** Takes a row of any table: its number, and its columns with null where the number belongs. */
  @FunctionalInterface
  interface Taker {
    void take(long number, @Nullable Object[] columns) throws SQLException;
  }

  private StrayRows(DatabasePages file) {
    this.file = file;
    this.pageBytes = file.pageBytes();
    this.pages = file.count();
  }

  /**
   * Opens a file; it must not change while it is read.
   *
   * @throws IOException also when its head tells a page size that SQLite never writes
   */
  static StrayRows of(Path path) throws IOException {
    return of(DatabasePages.of(path));
  }

  static StrayRows of(DatabasePages pages) throws IOException {
    StrayRows rows = new StrayRows(pages);
    try {
      rows.findUnused();
      return rows;
    } catch (IOException e) {
      pages.close();
      throw e;
    }
  }

  /** What lies in pages that are free again was deleted. */
  private void findUnused() throws IOException {
    long trunk = page(1).getInt(32);
    while (trunk > 1 && trunk <= pages && unused.add(trunk)) {
      ByteBuffer page = page(trunk);
      int count = page.getInt(4);
      for (int i = 0; i < count && 8 + 4 * i + 4 <= pageBytes; i++) {
        unused.add((long) page.getInt(8 + 4 * i));
      }
      trunk = page.getInt(0);
    }
  }

  /** Hands out the rows of all leaves but some pages. */
  void forEach(Set<Integer> notThese, Taker taker) throws IOException, SQLException {
    for (long number = 2; number <= pages; number++) {
      if (!notThese.contains((int) number)) {
        page(number, taker);
      }
    }
  }

  /** Hands out the rows of some leaves. */
  void forEachOf(Iterable<Integer> these, Taker taker) throws IOException, SQLException {
    for (int number : these) {
      page(number, taker);
    }
  }

  private void page(long number, Taker taker) throws IOException, SQLException {
    if (number > 1 && !unused.contains(number)) {
      ByteBuffer page = page(number);
      if (page.get(0) == LEAF) {
        leaf(page, taker);
      }
    }
  }

  private void leaf(ByteBuffer page, Taker taker) throws IOException, SQLException {
    int cells = Short.toUnsignedInt(page.getShort(3));
    for (int i = 0; i < cells && HEAD + 2 * i + 2 <= pageBytes; i++) {
      int at = Short.toUnsignedInt(page.getShort(HEAD + 2 * i));
      if (at >= HEAD && at < pageBytes) {
        cell(page.position(at), taker);
      }
    }
  }

  private void cell(ByteBuffer page, Taker taker) throws IOException, SQLException {
    long bytes;
    long number;
    try {
      bytes = RecordReader.varint(page);
      number = RecordReader.varint(page);
    } catch (BufferUnderflowException rubbish) {
      return;
    }
    if (bytes > 0 && bytes <= Math.min(MOST_BYTES, pages * pageBytes)) {
      byte[] payload = payload(page, (int) bytes);
      @Nullable Object[] columns = RecordReader.read(payload).orElse(null);
      if (columns != null) {
        taker.take(number, columns);
      }
    }
  }

  /** What stands in the leaf, and in the chain of pages that it overflows into. */
  private byte[] payload(ByteBuffer page, int bytes) throws IOException {
    int here = local(bytes);
    if (here + (here < bytes ? 4 : 0) > page.remaining()) {
      return new byte[0];
    }
    byte[] payload = new byte[bytes];
    page.get(payload, 0, here);
    long next = here < bytes ? page.getInt() : 0;
    int filled = here;
    while (filled < bytes) {
      if (next < 2 || next > pages) {
        return new byte[0];
      }
      ByteBuffer over = page(next);
      next = over.getInt();
      int part = Math.min(bytes - filled, pageBytes - 4);
      over.get(payload, filled, part);
      filled += part;
    }
    return payload;
  }

  private int local(int bytes) {
    if (bytes <= pageBytes - 35) {
      return bytes;
    }
    int least = (pageBytes - 12) * 32 / 255 - 23;
    int fitting = least + (bytes - least) % (pageBytes - 4);
    return fitting <= pageBytes - 35 ? fitting : least;
  }

  private ByteBuffer page(long number) throws IOException {
    return file.page(number);
  }

  @Override
  public void close() throws IOException {
    file.close();
  }
}
