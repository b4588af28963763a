package org.cellherd.mqtt;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.Iterator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.cellherd.alert.AlertEvent;
import org.cellherd.pack.StorageFailure;

/**
 * Events in their order, each until it is acknowledged. Two sources: events handed over fresh, at
 * the same time as they are committed, and the outbox. The outbox is the truth and goes first; what
 * is fresh is kept too, since the disk may be full. A repeat is harmless, a loss is not.
 *
 * <p>{@link #fresh} may come from any thread; all else on the publisher's.
 */
final class EventLine {

  private static final System.Logger LOG = System.getLogger("org.cellherd.mqtt");

  /** Fresh events kept in memory; beyond, the outbox alone holds them. */
  static final int MOST_FRESH = 4_096;

  private static final int BATCH = 200;
  private static final int REPORT_AT = 100;

  private final Outbox outbox;
  private final Deque<AlertEvent> fresh = new ArrayDeque<>();
  private final Deque<AlertEvent> backlog = new ArrayDeque<>();
  private final Set<String> done = new LinkedHashSet<>();
  private final List<String> unreported = new ArrayList<>();
  private boolean read = true;
  private boolean failing;

  EventLine(Outbox outbox) {
    this.outbox = outbox;
  }

  void fresh(AlertEvent event) {
    synchronized (fresh) {
      if (fresh.size() >= MOST_FRESH) {
        fresh.removeFirst();
      }
      fresh.addLast(event);
    }
  }

  /** The outbox is to be read (again). */
  void readAgain() {
    read = true;
  }

  /** A new connection: begins anew with the oldest that was not acknowledged. */
  void restart() {
    backlog.clear();
    read = true;
  }

  /** The next event to be sent; stays first until {@link #acknowledged}. */
  Optional<AlertEvent> next() {
    if (backlog.isEmpty() && read) {
      readOutbox();
    }
    return backlog.isEmpty() ? nextFresh() : Optional.of(backlog.getFirst());
  }

  /** The broker has it. */
  void acknowledged(AlertEvent event) {
    remember(event.id());
    unreported.add(event.id());
    if (!backlog.isEmpty() && backlog.getFirst().id().equals(event.id())) {
      backlog.removeFirst();
    }
    if (unreported.size() >= REPORT_AT) {
      report();
    }
  }

  /** Tells the outbox what was acknowledged. */
  void report() {
    if (unreported.isEmpty()) {
      return;
    }
    try {
      outbox.delivered(List.copyOf(unreported));
      unreported.clear();
    } catch (StorageFailure e) {
      failed(e);
      // A repeat after the next start is harmless, endless memory is not.
      if (unreported.size() > MOST_FRESH) {
        unreported.clear();
      }
    }
  }

  int inMemory() {
    synchronized (fresh) {
      return backlog.size() + fresh.size();
    }
  }

  /** Events in the outbox, or in memory when the outbox cannot be read. */
  int waiting() {
    try {
      return Math.max(0, outbox.waitingCount() - unreported.size());
    } catch (StorageFailure e) {
      failed(e);
      return inMemory();
    }
  }

  private Optional<AlertEvent> nextFresh() {
    synchronized (fresh) {
      while (!fresh.isEmpty() && done.contains(fresh.getFirst().id())) {
        fresh.removeFirst();
      }
      return Optional.ofNullable(fresh.peekFirst());
    }
  }

  private void readOutbox() {
    report();
    try {
      List<AlertEvent> batch = outbox.waiting(BATCH);
      for (AlertEvent event : batch) {
        if (done.contains(event.id())) {
          unreported.add(event.id());
        } else {
          backlog.addLast(event);
        }
      }
      read = !backlog.isEmpty();
      failing = false;
    } catch (StorageFailure e) {
      failed(e);
      read = false;
    }
  }

  private void failed(StorageFailure e) {
    if (!failing) {
      LOG.log(System.Logger.Level.WARNING, "outbox: " + e.getMessage());
    }
    failing = true;
  }

  private void remember(String id) {
    done.add(id);
    if (done.size() > 2 * MOST_FRESH) {
      Iterator<String> oldest = done.iterator();
      oldest.next();
      oldest.remove();
    }
  }
}
