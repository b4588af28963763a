package org.cellherd.app.daemon;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashMap;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.jspecify.annotations.Nullable;

/**
 * What waits for the one thread that owns analysis, alerts and store. Bounded: when that thread is
 * too slow, readings are skipped and counted, everything else is kept. Any thread puts, one takes.
 */
final class Inbox {

  /** One thing to do on the owner's thread. */
  public sealed interface Item permits Heard, Task {}

  public record Heard(String pack, LogEntry entry) implements Item {}

  /** Any other work. */
  public record Task(Runnable work) implements Item {}

  private final int mostReadings;
  private final boolean waitWhenFull;
  private final ReentrantLock lock = new ReentrantLock();
  private final Condition changed = lock.newCondition();
  private final Deque<Item> items = new ArrayDeque<>();
  private final Map<String, Long> skipped = new HashMap<>();
  private int readings;

  /**
   * An empty inbox.
   *
   * @param mostReadings readings kept before new ones are skipped
   * @param waitWhenFull true makes the putting thread wait instead, for runs faster than real time
   */
  public Inbox(int mostReadings, boolean waitWhenFull) {
    this.mostReadings = mostReadings;
    this.waitWhenFull = waitWhenFull;
  }

  /** Adds an entry; a reading may be skipped. */
  public void put(Heard heard) {
    lock.lock();
    try {
      if (heard.entry() instanceof Reading) {
        while (waitWhenFull && readings >= mostReadings) {
          changed.await();
        }
        if (readings >= mostReadings) {
          skipped.merge(heard.pack(), 1L, Long::sum);
          return;
        }
        readings++;
      }
      items.addLast(heard);
      changed.signalAll();
    } catch (InterruptedException stopping) {
      Thread.currentThread().interrupt();
    } finally {
      lock.unlock();
    }
  }

  /** Adds other work; never refused. */
  public void put(Runnable work) {
    lock.lock();
    try {
      items.addLast(new Task(work));
      changed.signalAll();
    } finally {
      lock.unlock();
    }
  }

  /** The next item, or null when none came within some ms. */
  public @Nullable Item take(long waitMs) throws InterruptedException {
    lock.lockInterruptibly();
    try {
      long nanos = TimeUnit.MILLISECONDS.toNanos(waitMs);
      while (items.isEmpty()) {
        if (nanos <= 0) {
          return null;
        }
        nanos = changed.awaitNanos(nanos);
      }
      Item item = items.removeFirst();
      if (item instanceof Heard heard && heard.entry() instanceof Reading) {
        readings--;
        changed.signalAll();
      }
      return item;
    } finally {
      lock.unlock();
    }
  }

  /** True when nothing waits. */
  public boolean isEmpty() {
    lock.lock();
    try {
      return items.isEmpty();
    } finally {
      lock.unlock();
    }
  }

  /** How many readings of a pack were skipped since last asked. */
  public long takeSkipped(String pack) {
    lock.lock();
    try {
      Long count = skipped.remove(pack);
      return count == null ? 0 : count;
    } finally {
      lock.unlock();
    }
  }
}
