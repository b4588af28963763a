package org.cellherd.store;

import java.io.Closeable;
import java.io.EOFException;
import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.file.Path;

/** Pages of a database that must not change while they are read. */
interface DatabasePages extends Closeable {

  int pageBytes();

  /** Number of the last page; they count from 1. */
  long count();

  /** A page; zeros where the file ends before it. */
  ByteBuffer page(long number) throws IOException;

  /**
   * Those of a file alone.
   *
   * @throws IOException also when its head tells a page size that SQLite never writes
   */
  static DatabasePages of(Path path) throws IOException {
    RandomAccessFile file = new RandomAccessFile(path.toFile(), "r");
    try {
      int pageBytes = file.length() < 100 ? 0 : SchemaPages.pageBytes(file);
      if (!isPossible(pageBytes)) {
        throw new IOException(path + ": pages of " + pageBytes + " bytes");
      }
      return new OfFile(file, pageBytes);
    } catch (IOException e) {
      file.close();
      throw e;
    }
  }

  static DatabasePages none() {
    return new DatabasePages() {
      @Override
      public int pageBytes() {
        return 512;
      }

      @Override
      public long count() {
        return 0;
      }

      @Override
      public ByteBuffer page(long number) {
        return ByteBuffer.allocate(1 << 16);
      }

      @Override
      public void close() {}
    };
  }

  /** True for a size that SQLite writes. */
  static boolean isPossible(int pageBytes) {
    return pageBytes >= 512 && pageBytes <= 65_536 && Integer.bitCount(pageBytes) == 1;
  }

  final class OfFile implements DatabasePages {
    private final RandomAccessFile file;
    private final int pageBytes;
    private final long count;

    private OfFile(RandomAccessFile file, int pageBytes) throws IOException {
      this.file = file;
      this.pageBytes = pageBytes;
      this.count = file.length() / pageBytes;
    }

    @Override
    public int pageBytes() {
      return pageBytes;
    }

    @Override
    public long count() {
      return count;
    }

    @Override
    public ByteBuffer page(long number) throws IOException {
      byte[] bytes = new byte[pageBytes];
      file.seek((number - 1) * pageBytes);
      try {
        file.readFully(bytes);
      } catch (EOFException shorter) {
        return ByteBuffer.wrap(new byte[pageBytes]);
      }
      return ByteBuffer.wrap(bytes);
    }

    @Override
    public void close() throws IOException {
      file.close();
    }
  }
}
