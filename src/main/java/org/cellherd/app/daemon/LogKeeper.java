package org.cellherd.app.daemon;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.nio.file.Path;
import java.util.List;
import org.cellherd.alert.AlertEvent;
import org.cellherd.analysis.Finding;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.Acknowledgement;
import org.cellherd.store.LogFile;
import org.cellherd.store.OpenMode;
import org.cellherd.store.Salvage;
import org.cellherd.store.StoreSettings;

/**
 * The log as the daemon writes it: a failure of the disk is said once and tried again, a damaged
 * file is closed and opened anew (which salvages it), and the watch goes on in any case. One
 * thread.
 */
final class LogKeeper {

  private static final Logger LOG = System.getLogger(LogKeeper.class.getName());

  private final Path path;
  private final StoreSettings settings;
  private LogFile file;
  private String trouble = "";
  private String toldSalvage = "";

  LogKeeper(Path path, StoreSettings settings, LogFile file) {
    this.path = path;
    this.settings = settings;
    this.file = file;
    tellSalvage();
  }

  /** Says once what was saved out of a damaged file; when opening, and when it broke meanwhile. */
  private void tellSalvage() {
    file.salvage()
        .map(Salvage::sentence)
        .filter(sentence -> !sentence.equals(toldSalvage))
        .ifPresent(
            sentence -> {
              toldSalvage = sentence;
              LOG.log(Level.ERROR, sentence);
            });
  }

  /** The open file; another one after damage. */
  LogFile file() {
    return file;
  }

  /** What keeps the log from being written, or "". */
  String trouble() {
    return trouble;
  }

  void append(String pack, LogEntry entry) {
    file.writer().append(pack, entry);
  }

  void save(String pack, Finding finding) {
    file.writer().save(pack, finding);
  }

  /** Makes events durable; those that the disk refuses are kept by the log and tried again. */
  void commit(List<AlertEvent> events) {
    attemptWrite(
        () -> {
          file.alertLog().commit(events);
          return true;
        });
  }

  void commitIfDue(long monotonicMs) {
    attemptWrite(() -> file.writer().commitIfDue(monotonicMs));
  }

  void retain(long nowMs) {
    attempt(() -> file.writer().retain(nowMs));
  }

  /** The clock turned out to be right: the run's earlier readings are dated by it. */
  void retime(long run) {
    attempt(() -> file.writer().retime(run));
  }

  List<Acknowledgement> newAcknowledgements() {
    try {
      return file.writer().newAcknowledgements();
    } catch (StorageFailure busyOrFull) {
      return List.of();
    }
  }

  /** Commits everything and notes the end in order. */
  void close() {
    attempt(() -> file.close());
  }

  /** Work on the log; true when it made something durable. */
  private interface Attempt {
    boolean run() throws StorageFailure;
  }

  /** Work whose success says nothing about whether readings can be written. */
  private interface Chore {
    void run() throws StorageFailure;
  }

  private void attempt(Chore chore) {
    attemptWrite(
        () -> {
          chore.run();
          return false;
        });
  }

  private void attemptWrite(Attempt work) {
    try {
      boolean isWritten = work.run();
      tellSalvage();
      if (isWritten && !trouble.isEmpty()) {
        LOG.log(Level.INFO, "log " + path + ": is written again");
        trouble = "";
      }
    } catch (StorageFailure failure) {
      if (failure.kind() == StorageFailure.Kind.DAMAGED) {
        openAnew(failure);
        return;
      }
      String what = String.valueOf(failure.getMessage());
      if (!what.equals(trouble)) {
        LOG.log(Level.ERROR, "log " + what + "; readings wait in memory, alerts go on");
      }
      trouble = what;
    }
  }

  private void openAnew(StorageFailure damage) {
    LOG.log(Level.ERROR, "log " + damage.getMessage() + "; opening it anew");
    try {
      file.close();
    } catch (StorageFailure expected) {
      LOG.log(Level.DEBUG, "closing the damaged log: " + expected.getMessage());
    }
    try {
      file = LogFile.open(path, OpenMode.WRITER, settings);
      trouble = "";
    } catch (StorageFailure stillNot) {
      trouble = String.valueOf(stillNot.getMessage());
      LOG.log(Level.ERROR, "log " + trouble);
    }
  }
}
