package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.protocol.CsvLines;

/** A file of readings that a user named, or standard input as "-". */
final class CsvSource {

  private CsvSource() {}

  /** Opens it; a pipe is waited for. */
  static CsvLines open(Path file) throws IOException {
    if (file.toString().equals("-")) {
      return new CsvLines(System.in);
    }
    if (Files.isDirectory(file)) {
      throw new Stop(ExitCode.USAGE, file + ": is a directory, a file is wanted");
    }
    return new CsvLines(Files.newInputStream(file));
  }
}
