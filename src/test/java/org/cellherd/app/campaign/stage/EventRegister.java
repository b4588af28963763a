package org.cellherd.app.campaign.stage;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.cellherd.app.campaign.books.Vanished;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/**
 * Which events the log held when each run of a process ended, before anything was done to its
 * files: what a later log lacks and no broker had was destroyed with it. One thread.
 */
final class EventRegister {

  private final Path folder;
  private final Map<String, Integer> lastHeld = new LinkedHashMap<>();

  EventRegister(Path folder) {
    this.folder = folder;
  }

  /** Reads a copy of a log that nobody writes: whoever reads the log itself might change it. */
  void runEnded(Path log, int run) throws IOException {
    if (!Files.isDirectory(log.resolveSibling("."))) {
      return;
    }
    Path copy = Files.createTempDirectory(folder, "ended");
    String name = log.getFileName().toString();
    try (Stream<Path> files = Files.list(log.resolveSibling("."))) {
      for (Path file : files.filter(f -> belongs(f, name)).toList()) {
        Files.copy(file, copy.resolve(file.getFileName()));
      }
    }
    try (LogFile file = LogFile.open(copy.resolve(name), OpenMode.READER)) {
      file.events(Long.MIN_VALUE, Long.MAX_VALUE)
          .forEach(stored -> lastHeld.put(stored.event().id(), run));
    } catch (StorageFailure moved) {
      // Moved away, or damaged while the program ran: then the next one is asked.
    }
    try (Stream<Path> files = Files.list(copy)) {
      for (Path file : files.toList()) {
        Files.delete(file);
      }
    }
    Files.delete(copy);
  }

  private static boolean belongs(Path file, String log) {
    String name = file.getFileName().toString();
    return Files.isRegularFile(file) && name.startsWith(log) && !name.contains("damaged");
  }

  /** Every event that was ever there, and by which run's end it was seen last. */
  List<Vanished> lastHeld() {
    return lastHeld.entrySet().stream().map(e -> new Vanished(e.getKey(), e.getValue())).toList();
  }
}
