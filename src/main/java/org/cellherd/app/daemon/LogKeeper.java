package org.cellherd.app.daemon;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.analysis.Finding;
import org.cellherd.app.config.Config;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Remarks;

/**
 * The log as the daemon writes it: a failure of the disk is said once and tried again, a damaged
 * file is salvaged, and the watch goes on in any case. One thread.
 */
final class LogKeeper {

  /**
   * Something about the log that everybody should hear.
   *
   * @param what one or more sentences
   * @param step what to do first
   */
  record News(String what, String step) {}

  /** What is written apart: one may fit on a full disk where another does not. */
  private enum Part {
    READINGS,
    ALERTS,
    UPKEEP
  }

  private static final Logger LOG = System.getLogger(LogKeeper.class.getName());

  /** A damaged log that could not be salvaged, as on a full disk, is tried again so often. */
  private static final long RECOVER_AGAIN_MS = 60_000;

  private final Path path;
  private final LogFile file;
  private final Map<Part, String> troubles = new EnumMap<>(Part.class);
  private final List<News> news = new ArrayList<>();
  private int toldReports;
  private boolean standsIn;
  private boolean isDamaged;
  private boolean isUpkeepDue;
  private long triedMs;

  private LogKeeper(LogFile file) {
    this.path = file.path();
    this.file = file;
    tellReports();
  }

  /**
   * Opens the log. One that cannot be opened is no reason not to watch: an empty one stands in, and
   * what it takes waits in memory.
   *
   * @throws StorageFailure when the log is not ours to write
   */
  static LogKeeper open(Config config) throws StorageFailure {
    List<StorageFailure> why = new ArrayList<>();
    LogFile file = LogFile.openInAnyCase(config.storeFile(), config.store(), why::add);
    LogKeeper keeper = new LogKeeper(file);
    why.forEach(keeper::tellStandIn);
    return keeper;
  }

  /**
   * A log that can be read, after it failed when what earlier runs stored was read: itself, when
   * what was damaged could be salvaged, or an empty one that stands in until it can be.
   *
   * @throws StorageFailure the failure, where it is none that salvage mends
   */
  LogKeeper afterDamage(Config config, StorageFailure failure) throws StorageFailure {
    if (failure.kind() != StorageFailure.Kind.DAMAGED) {
      close();
      throw failure;
    }
    if (recover()) {
      return this;
    }
    try {
      file.close();
    } catch (StorageFailure damaged) {
      LOG.log(Level.DEBUG, "closing a damaged log: {0}", damaged.getMessage());
    }
    LogKeeper instead = new LogKeeper(LogFile.inPlaceOf(config.storeFile(), config.store()));
    instead.tellStandIn(failure);
    instead.news.addAll(0, takeNews());
    return instead;
  }

  private void tellStandIn(StorageFailure why) {
    standsIn = true;
    tell(Part.READINGS, why);
    LOG.log(
        Level.ERROR,
        "log "
            + path
            + ": what earlier runs stored in it, such as standing alerts, is not known until it can"
            + " be opened");
  }

  /** True where an empty log stood in for one that could not be opened. */
  boolean standsIn() {
    return standsIn;
  }

  /** True once a log that could not be opened holds what waited for it. */
  boolean isToBeReopened() {
    return file.isToBeReopened() && troubles.isEmpty();
  }

  /** Says each once: what was found and done when opening, and when something broke meanwhile. */
  private void tellReports() {
    List<String> all = file.reports();
    for (String sentence : all.subList(toldReports, all.size())) {
      LOG.log(Level.ERROR, sentence);
      news.add(new News(sentence, StoreFault.AFTER_DAMAGE));
    }
    toldReports = all.size();
  }

  /** Says something about the log and what to do, here and to everybody who listens. */
  void tell(String sentence, String step) {
    LOG.log(Level.WARNING, sentence + " " + step);
    news.add(new News(sentence, step));
  }

  /** What was found and done since the last call. */
  List<News> takeNews() {
    List<News> taken = List.copyOf(news);
    news.clear();
    return taken;
  }

  /** The open file, for any thread. */
  LogFile file() {
    return file;
  }

  /** What keeps the log from being written, without the system's own words; or "". */
  String trouble() {
    String first = troubles.values().stream().findFirst().orElse("");
    int systemsWords = first.indexOf(" (");
    return systemsWords < 0 ? first : first.substring(0, systemsWords);
  }

  void append(String pack, LogEntry entry) {
    file.writer().append(pack, entry);
  }

  void save(String pack, Finding finding) {
    file.writer().save(pack, finding);
  }

  /** Makes events durable; those that the disk refuses are kept by the log and tried again. */
  void commit(List<AlertEvent> events) {
    attempt(
        Part.ALERTS,
        () -> {
          file.alertLog().commit(events);
          return true;
        });
  }

  /** Keeps what active alerts say now; what the disk refuses is tried again with the next. */
  void restate(List<Alert> active) {
    attempt(
        Part.ALERTS,
        () -> {
          file.alertLog().restate(active);
          return true;
        });
  }

  /** Keeps which board is a pack's own, "" for none; false when the disk refuses. */
  boolean keepBoard(String pack, String identity, long nowMs) {
    return attempt(
        Part.UPKEEP,
        () -> {
          if (identity.isEmpty()) {
            file.boards().forget(pack);
          } else {
            file.boards().learn(pack, identity, nowMs);
          }
          return true;
        });
  }

  /** Makes durable what has waited long enough. */
  void commitIfDue(long monotonicMs) {
    if (isDamaged && monotonicMs - triedMs >= RECOVER_AGAIN_MS) {
      triedMs = monotonicMs;
      recover();
    }
    if (!attempt(Part.READINGS, () -> file.writer().commitIfDue(monotonicMs))) {
      return;
    }
    if (troubles.containsKey(Part.ALERTS)) {
      commit(List.of());
    }
    isUpkeepDue = troubles.containsKey(Part.UPKEEP);
  }

  /** True when upkeep failed and the disk takes readings again. */
  boolean isUpkeepDue() {
    return isUpkeepDue;
  }

  /** Makes everything durable at once. */
  void commitNow() {
    attempt(
        Part.READINGS,
        () -> {
          file.writer().commit();
          return true;
        });
  }

  void retain(long nowMs) {
    isUpkeepDue = false;
    attempt(
        Part.UPKEEP,
        () -> {
          file.writer().retain(nowMs);
          return true;
        });
  }

  /** Checks a little of what is stored; false when all of it was, and there is time to rest. */
  boolean checkNext() {
    boolean[] more = {false};
    attempt(
        Part.UPKEEP,
        () -> {
          more[0] = file.checkNext();
          return false;
        });
    return more[0];
  }

  /** The clock turned out to be right: the run's earlier readings are dated by it. */
  void retime(long run) {
    attempt(
        Part.UPKEEP,
        () -> {
          file.writer().retime(run);
          return true;
        });
  }

  List<Remarks.Acknowledgement> newAcknowledgements() {
    try {
      return file.writer().newAcknowledgements();
    } catch (StorageFailure busyOrFull) {
      return List.of();
    }
  }

  /** Commits everything and notes the end in order. */
  void close() {
    try {
      file.close();
    } catch (StorageFailure failure) {
      LOG.log(Level.ERROR, "log " + failure.getMessage() + "; stopping anyway");
    }
    tellReports();
  }

  private interface Attempt {
    /** True when it wrote; nothing to do is no proof that the disk takes anything. */
    boolean run() throws StorageFailure;
  }

  private boolean attempt(Part part, Attempt work) {
    try {
      boolean wrote = work.run();
      tellReports();
      if (wrote && troubles.remove(part) != null && troubles.isEmpty()) {
        LOG.log(Level.INFO, "log " + path + ": is being written again");
      }
      return wrote;
    } catch (StorageFailure failure) {
      tell(part, failure);
      if (failure.kind() == StorageFailure.Kind.DAMAGED) {
        recover();
      }
      return false;
    }
  }

  /** What waits to be written stays with the file's writer, whether this succeeds or not. */
  private boolean recover() {
    try {
      file.recover();
      isDamaged = false;
      tellReports();
      return true;
    } catch (StorageFailure notYet) {
      isDamaged = notYet.kind() != StorageFailure.Kind.BUSY;
      tell(Part.READINGS, notYet);
      return false;
    }
  }

  private void tell(Part part, StorageFailure failure) {
    String what = String.valueOf(failure.getMessage());
    if (!troubles.containsValue(what)) {
      LOG.log(Level.ERROR, "log " + what + "; readings wait in memory, alerts still work");
    }
    troubles.put(part, what);
  }
}
