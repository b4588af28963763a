package org.cellherd.app.verb;

import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import org.cellherd.app.Stop;
import org.cellherd.protocol.CsvLines;
import org.jspecify.annotations.Nullable;

/**
 * A file of readings that a user named, or standard input as "-", that can be read from its start
 * as often as wanted. One reading at a time; belongs to one thread.
 */
final class CsvSource implements AutoCloseable {

  private final FileChannel channel;
  private @Nullable InputStream pipe;

  private CsvSource(FileChannel channel, @Nullable InputStream pipe) {
    this.channel = channel;
    this.pipe = pipe;
  }

  /** Opens it to be read once; a pipe is waited for. */
  static CsvLines open(Path file) throws IOException {
    return new CsvLines(stream(file));
  }

  /**
   * Opens it; what a pipe brings is kept in a temporary file, which nobody sees, as it is read for
   * the first time: to its end, or until a line cannot be one.
   */
  static CsvSource lasting(Path file) throws IOException {
    if (Files.isRegularFile(file)) {
      return new CsvSource(FileChannel.open(file, StandardOpenOption.READ), null);
    }
    InputStream pipe = stream(file);
    FileChannel kept =
        FileChannel.open(
            Files.createTempFile("cellherd", ".csv"),
            StandardOpenOption.READ,
            StandardOpenOption.WRITE,
            StandardOpenOption.DELETE_ON_CLOSE);
    return new CsvSource(kept, new Keeping(pipe, Channels.newOutputStream(kept)));
  }

  private static InputStream stream(Path file) throws IOException {
    if (file.toString().equals("-")) {
      return System.in;
    }
    if (Files.isDirectory(file)) {
      throw Stop.usage(file + ": is a directory, a file is wanted");
    }
    return Files.newInputStream(file);
  }

  /** Its lines from the first on; what was handed out before must not be used any more. */
  CsvLines lines() throws IOException {
    InputStream first = pipe;
    pipe = null;
    if (first != null) {
      return new CsvLines(first);
    }
    channel.position(0);
    return new CsvLines(Channels.newInputStream(channel));
  }

  @Override
  public void close() throws IOException {
    channel.close();
  }

  /** Writes down what is read. */
  private static final class Keeping extends FilterInputStream {
    private final OutputStream kept;

    Keeping(InputStream in, OutputStream kept) {
      super(in);
      this.kept = kept;
    }

    @Override
    public int read() throws IOException {
      int one = super.read();
      if (one >= 0) {
        kept.write(one);
      }
      return one;
    }

    @Override
    public int read(byte[] into, int from, int most) throws IOException {
      int count = super.read(into, from, most);
      if (count > 0) {
        kept.write(into, from, count);
      }
      return count;
    }
  }
}
