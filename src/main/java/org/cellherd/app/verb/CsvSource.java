package org.cellherd.app.verb;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import org.cellherd.app.Stop;
import org.cellherd.protocol.CsvLines;

/** A file of readings that a user named, or standard input as "-". */
final class CsvSource {

  private CsvSource() {}

  /** Opens it to be read once; a pipe is waited for. */
  static CsvLines open(Path file) throws IOException {
    return new CsvLines(stream(file));
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
}
