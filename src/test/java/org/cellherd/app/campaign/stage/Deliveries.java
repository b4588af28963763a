package org.cellherd.app.campaign.stage;

import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.cellherd.alert.AlertEvent;
import org.cellherd.mqtt.MqttListener;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/**
 * A real broker beside a driven clock. Its acknowledgements are let through only between two steps
 * of the daemon, and no step is taken while a working broker still lacks an event: an hour of the
 * driven clock is a second, in which no broker could answer, and how many it answered would differ
 * from run to run. Thread-safe.
 */
public final class Deliveries implements MqttListener {

  /** A broker on this computer has long answered by then. */
  private static final long PATIENCE_NANOS = TimeUnit.SECONDS.toNanos(20);

  private final Set<String> told = new LinkedHashSet<>();
  private final Set<String> lacking = new LinkedHashSet<>();
  private final BrokenPath path;
  private final Consumer<String> complaints;
  private boolean isOpen;
  private long connectedDrops = -1;

  Deliveries(BrokenPath path, Consumer<String> complaints) {
    this.path = path;
    this.complaints = complaints;
  }

  /** The daemon tells an event. */
  synchronized void tell(String id) {
    if (told.add(id)) {
      lacking.add(id);
    }
  }

  /** All that was told, in its order. */
  synchronized Set<String> told() {
    return new LinkedHashSet<>(told);
  }

  /** What no broker has acknowledged. */
  synchronized Set<String> lacking() {
    return new LinkedHashSet<>(lacking);
  }

  /** These cannot come any more. */
  synchronized void giveUp(Set<String> ids) {
    lacking.removeAll(ids);
  }

  /** A run begins: nobody is connected. */
  synchronized void begin() {
    connectedDrops = -1;
    isOpen = false;
  }

  /** Acknowledgements pass at any time, as while a run ends, or only between steps. */
  synchronized void hold(boolean untilStep) {
    isOpen = !untilStep;
    notifyAll();
  }

  @Override
  public synchronized void connected() {
    connectedDrops = path.drops();
    notifyAll();
  }

  @Override
  public synchronized void disconnected(String trouble) {
    connectedDrops = -1;
  }

  @Override
  public synchronized void delivered(AlertEvent event) {
    try {
      while (!isOpen) {
        wait();
      }
      lacking.remove(event.id());
      notifyAll();
    } catch (InterruptedException ending) {
      Thread.currentThread().interrupt();
    }
  }

  /**
   * Lets the broker catch up, where the way to it works.
   *
   * @param log whose outbox must be empty then; nothing where it cannot be written
   */
  void catchUp(Path log, boolean isWritten) throws InterruptedException {
    if (!path.isWhole() || isCaughtUp()) {
      return;
    }
    hold(false);
    if (!await()) {
      Set<String> inVain = lacking();
      complaints.accept("the broker works and lacks, after 20 s: " + inVain);
      giveUp(inVain);
    } else if (isWritten) {
      awaitOutbox(log);
    }
    hold(true);
  }

  private synchronized boolean isCaughtUp() {
    return lacking.isEmpty() && connectedDrops == path.drops();
  }

  private synchronized boolean await() throws InterruptedException {
    long end = System.nanoTime() + PATIENCE_NANOS;
    for (long left = PATIENCE_NANOS; !isCaughtUp() && left > 0; left = end - System.nanoTime()) {
      TimeUnit.NANOSECONDS.timedWait(this, left);
    }
    return isCaughtUp();
  }

  /** What was acknowledged is marked in the log by the publisher's thread. */
  private static void awaitOutbox(Path log) throws InterruptedException {
    long end = System.nanoTime() + PATIENCE_NANOS;
    try (LogFile file = LogFile.open(log, OpenMode.READER)) {
      while (file.alertLog().waitingCount() > 0 && System.nanoTime() < end) {
        Threads.pause(1);
      }
    } catch (StorageFailure damaged) {
      // The daemon will find it too.
    }
  }
}
