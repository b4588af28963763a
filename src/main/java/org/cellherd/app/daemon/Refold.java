package org.cellherd.app.daemon;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.Finding;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;

/** Reads a pack's whole log once and keeps what comes of it, so that later questions are quick. */
public final class Refold {

  private Refold() {}

  /** Stores the findings of the whole log and the state at its end. Nobody is told. */
  public static void run(LogFile file, PackConfig pack) throws StorageFailure {
    PackWatch watch = new PackWatch(pack);
    List<Finding> found = new ArrayList<>();
    file.history()
        .replay(
            watch.id(),
            Long.MIN_VALUE,
            Long.MAX_VALUE,
            entry -> {
              watch.accept(entry);
              found.addAll(watch.analysis().completed());
            });
    found.addAll(watch.analysis().standing());
    found.forEach(f -> file.writer().save(watch.id(), f));
    if (watch.analysis().reading().isPresent()) {
      Recovery.save(watch, file.writer());
    }
    file.writer().commit();
  }
}
