package org.cellherd.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import java.util.Optional;

/**
 * A copy of the damaged file, to be mended and read: the file itself stays as it was found. Gone
 * when it is closed. Belongs to one thread.
 */
final class WorkingCopy implements AutoCloseable {
  private final Path copy;

  /** Copies a file that nobody has open, with what waits in its write-ahead log. */
  WorkingCopy(Path file, Path copy) throws IOException {
    this.copy = copy;
    try {
      if (Files.exists(file)) {
        Files.copy(file, copy, StandardCopyOption.REPLACE_EXISTING);
      } else {
        Files.write(copy, new byte[0]);
      }
      Optional<WriteAheadLog> waiting = WriteAheadLog.of(file);
      if (waiting.isPresent()) {
        try (WriteAheadLog frames = waiting.get()) {
          frames.writeInto(copy);
        }
      }
    } catch (IOException e) {
      close();
      throw e;
    }
  }

  private static Path part(Path file, String ending) {
    return file.resolveSibling(file.getFileName() + ending);
  }

  Path path() {
    return copy;
  }

  @Override
  public void close() {
    for (String ending : List.of("", "-wal", "-shm")) {
      try {
        Files.deleteIfExists(part(copy, ending));
      } catch (IOException e) {
        System.getLogger(WorkingCopy.class.getName())
            .log(System.Logger.Level.WARNING, "a copy is left over: " + e);
      }
    }
  }
}
