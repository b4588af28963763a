package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.StoredEvent;
import org.cellherd.store.sql.OpenMode;

/**
 * A pack of the population, imported and judged by the program's own verb.
 *
 * @param name its folder's name
 * @param truth what is really so
 * @param raised each alert as it was raised, escalated or raised again, in order
 */
record JudgedPack(String name, PackTruth truth, List<Alert> raised) {

  /** Imports {@code readings.csv} by {@code plan.toml} into a log of its own, in a folder. */
  static JudgedPack of(Path pack, Path work) throws IOException, StorageFailure {
    Path log = work.resolve(pack.getFileName() + ".db");
    Said.whenDone(
        List.of(
            "import",
            "--judge",
            "--plan",
            pack.resolve("plan.toml").toString(),
            "--db",
            log.toString(),
            pack.resolve("readings.csv").toString()));
    List<Alert> raised = new ArrayList<>();
    try (LogFile file = LogFile.open(log, OpenMode.READER)) {
      for (StoredEvent stored : file.events(Long.MIN_VALUE, Long.MAX_VALUE)) {
        AlertEvent event = stored.event();
        if (event.change() == Change.RAISED || event.change() == Change.ESCALATED) {
          raised.add(event.alert());
        }
      }
    }
    try (Stream<Path> files = Files.list(work)) {
      for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
        Files.delete(file);
      }
    }
    return new JudgedPack(pack.getFileName().toString(), PackTruth.read(pack), raised);
  }
}
