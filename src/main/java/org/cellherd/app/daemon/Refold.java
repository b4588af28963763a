package org.cellherd.app.daemon;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.TreeMap;
import org.cellherd.alert.Alert;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.Metered;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.LogWriter;

/** Reads a pack's whole log once and keeps what comes of it, so that later questions are quick. */
public final class Refold {

  private static final long DAY_MS = Duration.ofDays(1).toMillis();

  /** States are kept for each of so many latest days, and for every thirtieth before. */
  private static final int LATEST_DAYS = 60;

  private static final int DAYS_APART = 30;

  private final LogFile file;
  private final PackWatch watch;
  private final long latestMs;
  private final List<Finding> found = new ArrayList<>();
  private final NavigableMap<Long, SavedState> states = new TreeMap<>();
  private final JudgedImport judged;
  private long day = Long.MIN_VALUE;

  private Refold(LogFile file, PackWatch watch) throws StorageFailure {
    this.file = file;
    this.watch = watch;
    latestMs = file.newestMs(watch.id()).orElse(0) - LATEST_DAYS * DAY_MS;
    judged = new JudgedImport(file.importedTimes(watch.id()));
  }

  /**
   * Stores the findings of the whole log, and states of the analyses along it and at its end. No
   * rule judges: that costs many times as much, and the next run's rules read the log anyway.
   */
  public static void run(LogFile file, PackConfig pack) throws StorageFailure {
    Refold refold = new Refold(file, PackWatch.withoutRules(Metered.of(file, pack)));
    refold.read();
    refold.store();
  }

  /**
   * The same, with the rules: the alerts of the imported readings go to the log.
   *
   * @return these alerts as they were last told, in the order in which they began
   */
  public static List<Alert> judge(LogFile file, PackConfig pack) throws StorageFailure {
    Refold refold = new Refold(file, new PackWatch(Metered.of(file, pack)));
    refold.read();
    refold.store();
    file.saveJudged(pack.plan().id(), refold.judged.events());
    return refold.judged.alerts();
  }

  private void read() throws StorageFailure {
    file.history().replay(watch.id(), Long.MIN_VALUE, Long.MAX_VALUE, this::take);
  }

  private void take(LogEntry entry) {
    // Where the clock went back, states beyond it would skip what comes now.
    states.tailMap(entry.timeMs(), false).clear();
    keepState(entry.timeMs());
    judged.take(entry, watch.accept(entry));
    found.addAll(watch.analysis().completed());
  }

  /** The first entry of a later day finds what was known before it. */
  private void keepState(long timeMs) {
    long now = Math.floorDiv(timeMs, DAY_MS);
    if (now > day && watch.analysis().reading().isPresent()) {
      if (timeMs >= latestMs || now / DAYS_APART > day / DAYS_APART) {
        states.put(timeMs, SavedState.of(watch.analysis()::state));
      }
    }
    day = Math.max(day, now);
  }

  private void store() throws StorageFailure {
    LogWriter writer = file.writer();
    found.addAll(watch.analysis().standing());
    found.forEach(f -> writer.save(watch.id(), f));
    for (Map.Entry<Long, SavedState> state : states.entrySet()) {
      writer.saveSnapshot(watch.id(), Recovery.ANALYSIS, state.getKey(), state.getValue());
      writer.commit();
    }
    if (watch.analysis().reading().isPresent()) {
      Recovery.save(watch, writer);
    }
    writer.commit();
  }
}
