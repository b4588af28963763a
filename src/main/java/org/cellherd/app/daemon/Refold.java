package org.cellherd.app.daemon;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.LongPredicate;
import org.cellherd.alert.Alert;
import org.cellherd.analysis.SignState;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.FoundAgain;
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
  private final JudgedImport judged;
  private final FoundAgain found;
  private final NavigableMap<Long, Kept> states = new TreeMap<>();
  private long newestMs = Long.MIN_VALUE;
  private long day = Long.MIN_VALUE;

  /** A state, and whether it is kept however long ago it was. */
  private record Kept(SavedState state, boolean isForGood) {}

  /**
   * What came of a log.
   *
   * @param alerts of the imported readings as they were last told, in the order in which they
   *     began; none where nobody asked for them
   * @param sign whether the current has the right sign
   */
  public record Outcome(List<Alert> alerts, SignState sign) {}

  private Refold(LogFile file, PackConfig pack, boolean isJudging, LongPredicate isImported)
      throws StorageFailure {
    PackConfig metered = Metered.of(file, pack);
    this.file = file;
    this.watch = isJudging ? new PackWatch(metered) : PackWatch.withoutRules(metered);
    this.found = new FoundAgain(watch.analysis());
    this.judged = new JudgedImport(isImported);
  }

  /**
   * Stores the findings of the whole log, and states of the analyses along it and at its end.
   *
   * @param isJudging with the rules: the alerts of the imported readings go to the log. That costs
   *     many times as much, and the next run's rules read the log anyway
   */
  public static Outcome run(LogFile file, PackConfig pack, boolean isJudging)
      throws StorageFailure {
    String id = pack.plan().id();
    Refold refold = new Refold(file, pack, isJudging, file.importedTimes(id));
    file.history().replay(id, Long.MIN_VALUE, Long.MAX_VALUE, refold::take);
    return refold.store();
  }

  /**
   * The same for a log that holds nothing of a pack yet: it is handed each reading that is brought
   * in, so that none need be read again. Empty where the log holds something.
   */
  public static Optional<Refold> ofNew(LogFile file, PackConfig pack, boolean isJudging)
      throws StorageFailure {
    String id = pack.plan().id();
    boolean isNew =
        file.newestMs(id).isEmpty()
            && file.remarks().notes(id, Long.MIN_VALUE, Long.MAX_VALUE).isEmpty();
    return isNew ? Optional.of(new Refold(file, pack, isJudging, ms -> true)) : Optional.empty();
  }

  public void take(LogEntry entry) {
    if (entry.timeMs() < newestMs) {
      // Where the clock went back, states beyond it would skip what comes now.
      states.tailMap(entry.timeMs(), false).clear();
    }
    newestMs = Math.max(newestMs, entry.timeMs());
    keepState(entry.timeMs());
    judged.take(entry, watch.accept(entry, found));
  }

  /** The first entry of a later day finds what was known before it. */
  private void keepState(long timeMs) {
    long now = Math.floorDiv(timeMs, DAY_MS);
    if (now > day && watch.analysis().reading().isPresent()) {
      boolean isForGood = now / DAYS_APART > day / DAYS_APART;
      states.put(timeMs, new Kept(SavedState.of(watch.analysis()::state), isForGood));
      forgetOld();
    }
    day = Math.max(day, now);
  }

  private void forgetOld() {
    long latestMs = newestMs - LATEST_DAYS * DAY_MS;
    states.headMap(latestMs, false).values().removeIf(kept -> !kept.isForGood);
  }

  /** Stores what came of all entries taken: see {@link #run}. */
  public Outcome store() throws StorageFailure {
    LogWriter writer = file.writer();
    forgetOld();
    watch.saveAgain(writer, found);
    for (Map.Entry<Long, Kept> kept : states.entrySet()) {
      SavedState state = kept.getValue().state;
      writer.saveSnapshot(watch.id(), Recovery.ANALYSIS, kept.getKey(), state);
      writer.commit();
    }
    if (watch.analysis().reading().isPresent()) {
      Recovery.save(watch, writer);
    }
    writer.commit();
    if (watch.isJudging()) {
      file.saveJudged(watch.id(), judged.events());
    }
    return new Outcome(judged.alerts(), watch.analysis().currentSign());
  }
}
