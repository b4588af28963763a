package org.cellherd.mqtt;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.pack.Reading;

/**
 * The newest reading of each pack, let through at most every so many seconds. Any thread may put;
 * the publisher's thread takes.
 */
final class ReadingSlots {

  private static final long NANOS_PER_SECOND = 1_000_000_000L;

  private final long everyNanos;
  private final Map<String, Slot> slots = new LinkedHashMap<>();

  ReadingSlots(int everyS) {
    this.everyNanos = everyS * NANOS_PER_SECOND;
  }

  record Due(String pack, Reading reading) {}

  private static final class Slot {
    private Reading newest;
    private long heardNanos;
    private boolean isFresh;
    private boolean wasDue;
    private long nextNanos;

    Slot(Reading newest, long nowNanos) {
      this.newest = newest;
      this.nextNanos = nowNanos;
    }
  }

  /**
   * Takes a newer reading.
   *
   * @return true when it is due at once
   */
  synchronized boolean put(String pack, Reading reading, long nowNanos) {
    Slot slot = slots.computeIfAbsent(pack, p -> new Slot(reading, nowNanos));
    slot.newest = reading;
    slot.heardNanos = nowNanos;
    slot.isFresh = true;
    slot.wasDue = slot.nextNanos - nowNanos <= 0;
    return slot.wasDue;
  }

  /** A reading that is due, oldest pack first. */
  synchronized Optional<Due> take(long nowNanos) {
    for (Map.Entry<String, Slot> entry : slots.entrySet()) {
      Slot slot = entry.getValue();
      if (slot.isFresh && slot.nextNanos - nowNanos <= 0) {
        slot.isFresh = false;
        slot.nextNanos = Math.max(slot.nextNanos, nowNanos - everyNanos / 2) + everyNanos;
        return Optional.of(new Due(entry.getKey(), slot.newest));
      }
    }
    return Optional.empty();
  }

  /** Seconds since a pack was heard; empty when it never was. */
  synchronized OptionalLong ageS(String pack, long nowNanos) {
    Slot slot = slots.get(pack);
    return slot == null
        ? OptionalLong.empty()
        : OptionalLong.of(Math.max(0, (nowNanos - slot.heardNanos) / NANOS_PER_SECOND));
  }
}
