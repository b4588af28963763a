package org.cellherd.page;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.Deque;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import java.util.function.Consumer;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.news.Sink;
import org.cellherd.alert.rule.Silent;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.TimeSource;

/**
 * The newest of all packs. The herd's thread puts news in and goes on; readers look whenever they
 * like and find the newest. Nothing queues, so nothing can grow. Any thread.
 */
public final class LiveBoard implements Sink {

  private static final System.Logger LOG = System.getLogger(LiveBoard.class.getName());

  /** Events kept to be shown as having happened lately. */
  private static final int MOST_LATELY = 30;

  /** Alerts shown; the worst first, so what is beyond is the least. */
  private static final int MOST_ALERTS = 500;

  private final Map<String, LivePack> packs = new LinkedHashMap<>();
  private final TimeSource time;
  private final ReentrantLock lock = new ReentrantLock();
  private final Condition changed = lock.newCondition();
  private final Map<String, Alert> alerts = new LinkedHashMap<>();
  private final Deque<AlertEvent> lately = new ArrayDeque<>();
  private long version;
  private long alertVersion;

  public LiveBoard(List<PagePack> packs, TimeSource time) {
    this.time = time;
    for (PagePack pack : packs) {
      this.packs.put(pack.plan().id(), new LivePack(pack, time.wallMs()));
    }
  }

  @Override
  public void reading(String pack, Reading reading) {
    with(pack, p -> p.heard(reading, time.monotonicNanos()));
  }

  /** Takes the last reading of an earlier run. */
  public void remember(String pack, Reading reading) {
    with(pack, p -> p.remember(reading));
  }

  @Override
  public void state(String pack, PackState presence) {
    with(pack, p -> p.state(presence));
  }

  @Override
  public void summary(String pack, PackSummary summary) {
    with(pack, p -> p.summary(summary.facts()));
  }

  private void with(String pack, Consumer<LivePack> news) {
    LivePack known = packs.get(pack);
    if (known != null) {
      news.accept(known);
      signal(false);
    }
  }

  @Override
  public void standing(Alert alert) {
    if (alert.state() != AlertState.NORMAL && alert.state() != AlertState.PENDING) {
      lock.lock();
      try {
        alerts.put(alert.id(), alert);
      } finally {
        lock.unlock();
      }
      signal(true);
    }
  }

  @Override
  public void event(AlertEvent event) {
    lock.lock();
    try {
      if (event.stands()) {
        alerts.put(event.alert().id(), event.alert());
      } else {
        alerts.remove(event.alert().id());
      }
      lately.addFirst(event);
      if (lately.size() > MOST_LATELY) {
        lately.removeLast();
      }
    } finally {
      lock.unlock();
    }
    signal(true);
  }

  /** Takes what happened to alerts before this run, oldest first. */
  public void recall(List<AlertEvent> before) {
    lock.lock();
    try {
      for (int i = before.size() - 1; i >= 0 && lately.size() < MOST_LATELY; i--) {
        lately.addLast(before.get(i));
      }
    } finally {
      lock.unlock();
    }
    signal(true);
  }

  private void signal(boolean alert) {
    lock.lock();
    try {
      version++;
      alertVersion += alert ? 1 : 0;
      changed.signalAll();
    } finally {
      lock.unlock();
    }
  }

  /** Fills a pack's strip from the log when somebody first looks. */
  public void fill(String pack, PackHistory history) {
    LivePack live = packs.get(pack);
    if (live == null || !live.claimFilling()) {
      return;
    }
    long to = time.wallMs() + 1;
    long from = to - Strip.COLUMNS * Strip.COLUMN_MS;
    try {
      live.fill(history.read(pack, from, to).tracks());
    } catch (StorageFailure failure) {
      live.unclaimFilling();
      LOG.log(System.Logger.Level.WARNING, "page: the log cannot be read: " + failure.getMessage());
    }
  }

  /** All packs as they are known now. */
  public List<PackNow> packs() {
    long now = time.monotonicNanos();
    return packs.values().stream().map(p -> p.now(now)).toList();
  }

  Optional<LivePack> pack(String id) {
    return Optional.ofNullable(packs.get(id));
  }

  /** True when there is such a pack. */
  public boolean knows(String pack) {
    return packs.containsKey(pack);
  }

  /**
   * Alerts that stand, worst first, then oldest first; behind them those that are over unseen. A
   * silent board is first of its priority: the others' figures are of before.
   */
  public List<Alert> alerts() {
    lock.lock();
    try {
      List<Alert> sorted = new ArrayList<>(alerts.values());
      sorted.sort(
          Comparator.comparing((Alert a) -> a.state() == AlertState.RETURNED)
              .thenComparing(Alert::priority)
              .thenComparing(a -> !a.key().rule().equals(Silent.ID))
              .thenComparing(Alert::sinceMs));
      return List.copyOf(sorted.subList(0, Math.min(MOST_ALERTS, sorted.size())));
    } finally {
      lock.unlock();
    }
  }

  /** What happened to alerts lately, newest first. */
  public List<AlertEvent> lately() {
    lock.lock();
    try {
      return List.copyOf(lately);
    } finally {
      lock.unlock();
    }
  }

  /** Grows with each change of an alert. */
  long alertVersion() {
    lock.lock();
    try {
      return alertVersion;
    } finally {
      lock.unlock();
    }
  }

  /** Grows with each change of anything. */
  long version() {
    lock.lock();
    try {
      return version;
    } finally {
      lock.unlock();
    }
  }

  /** Waits until something changed after a version, but not longer than some ms. */
  void awaitChange(long seen, long atMostMs) throws InterruptedException {
    lock.lockInterruptibly();
    try {
      long nanos = TimeUnit.MILLISECONDS.toNanos(atMostMs);
      while (version == seen && nanos > 0) {
        nanos = changed.awaitNanos(nanos);
      }
    } finally {
      lock.unlock();
    }
  }
}
