package org.cellherd.app.daemon;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.function.BiConsumer;
import org.cellherd.app.logged.FoundAgain;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/**
 * Reads the whole log of some packs on a thread of its own, up to the start of this run, while they
 * are watched by their latest day already.
 */
final class WholeLog implements AutoCloseable {

  private static final Logger LOG = System.getLogger(WholeLog.class.getName());
  private static final long JOIN_MS = 1_000;

  private final Path log;
  private final long run;
  private final List<PackWatch> packs;
  private final BiConsumer<PackWatch, FoundAgain> done;
  private final Thread thread;
  private volatile boolean stopping;

  /** Ends a replay, which else goes to the end. */
  private static final class Enough extends RuntimeException {
    private static final long serialVersionUID = 1;

    Enough() {
      super("enough was read", null, false, false);
    }
  }

  /**
   * Begins.
   *
   * @param run number of this run, whose entries are not read
   * @param packs watches to which nothing has happened yet
   * @param done takes a watch that knows the whole log, and what it found there; on this object's
   *     thread
   */
  WholeLog(Path log, long run, List<PackWatch> packs, BiConsumer<PackWatch, FoundAgain> done) {
    this.log = log;
    this.run = run;
    this.packs = List.copyOf(packs);
    this.done = done;
    this.thread = new Thread(this::read, "whole-log");
    thread.setDaemon(true);
    thread.start();
  }

  private void read() {
    for (PackWatch watch : packs) {
      String id = watch.id();
      LOG.log(
          Level.INFO,
          "pack " + id + ": " + watch.subject() + " by its latest day until its whole log is read");
      try (LogFile file = LogFile.open(log, OpenMode.READER)) {
        FoundAgain found = new FoundAgain(watch.analysis());
        replay(file, watch, found);
        if (stopping) {
          return;
        }
        done.accept(watch, found);
        LOG.log(Level.INFO, "pack " + id + ": the whole log is read");
      } catch (StorageFailure | RuntimeException failure) {
        LOG.log(
            Level.WARNING,
            "pack "
                + id
                + ": goes on by its latest day until the next start; its whole log could"
                + " not be read: "
                + failure);
      }
    }
  }

  private void replay(LogFile file, PackWatch watch, FoundAgain found) throws StorageFailure {
    try {
      file.history()
          .replay(watch.id(), Long.MIN_VALUE, Long.MAX_VALUE, entry -> take(watch, entry, found));
    } catch (Enough upToThisRun) {
      LOG.log(Level.DEBUG, upToThisRun.getMessage());
    }
  }

  private void take(PackWatch watch, LogEntry entry, FoundAgain found) {
    boolean isOurs = entry instanceof SessionStart start && start.session() == run;
    if (stopping || isOurs) {
      throw new Enough();
    }
    watch.accept(entry, found);
  }

  /** Waits until it has read all. */
  void await() throws InterruptedException {
    thread.join();
  }

  @Override
  public void close() {
    stopping = true;
    try {
      TimeUnit.MILLISECONDS.timedJoin(thread, JOIN_MS);
    } catch (InterruptedException hurry) {
      Thread.currentThread().interrupt();
    }
  }
}
