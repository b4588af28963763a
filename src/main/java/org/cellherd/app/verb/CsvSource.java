package org.cellherd.app.verb;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.protocol.CsvLines;

/**
 * A file of readings that a user named, or standard input as "-", that can be read from its start
 * as often as wanted. One reading at a time; belongs to one thread.
 */
final class CsvSource implements AutoCloseable {

  private final FileChannel channel;

  private CsvSource(FileChannel channel) {
    this.channel = channel;
  }

  /** Opens it to be read once; a pipe is waited for. */
  static CsvLines open(Path file) throws IOException {
    return new CsvLines(stream(file));
  }

  /** Opens it; what a pipe brings is kept in a temporary file, which nobody sees. */
  static CsvSource lasting(Path file) throws IOException {
    if (Files.isRegularFile(file)) {
      return new CsvSource(FileChannel.open(file, StandardOpenOption.READ));
    }
    FileChannel kept =
        FileChannel.open(
            Files.createTempFile("cellherd", ".csv"),
            StandardOpenOption.READ,
            StandardOpenOption.WRITE,
            StandardOpenOption.DELETE_ON_CLOSE);
    CsvSource source = new CsvSource(kept);
    try (InputStream in = stream(file)) {
      OutputStream out = Channels.newOutputStream(kept);
      in.transferTo(out);
      return source;
    } catch (IOException | Stop failed) {
      source.close();
      throw failed;
    }
  }

  private static InputStream stream(Path file) throws IOException {
    if (file.toString().equals("-")) {
      return System.in;
    }
    if (Files.isDirectory(file)) {
      throw new Stop(ExitCode.USAGE, file + ": is a directory, a file is wanted");
    }
    return Files.newInputStream(file);
  }

  /** Its lines from the first on; what was handed out before must not be used any more. */
  CsvLines lines() throws IOException {
    channel.position(0);
    return new CsvLines(Channels.newInputStream(channel));
  }

  @Override
  public void close() throws IOException {
    channel.close();
  }
}
