package org.cellherd.mqtt;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;

/** The regular sign of life. Publisher's thread. */
final class Heartbeat {

  private static final long NANOS_PER_SECOND = 1_000_000_000L;

  private final long everyNanos;
  private final MqttPublisher.Parts parts;
  private final ReadingSlots readings;
  private final EventLine events;
  private long nextNanos;

  Heartbeat(int everyS, MqttPublisher.Parts parts, ReadingSlots readings, EventLine events) {
    this.everyNanos = everyS * NANOS_PER_SECOND;
    this.parts = parts;
    this.readings = readings;
    this.events = events;
    this.nextNanos = parts.time().monotonicNanos();
  }

  /**
   * The JSON of the topic {@code heartbeat} when it is due.
   *
   * @param unansweredNanos how long the broker owes its oldest acknowledgement; empty for none
   */
  Optional<String> due(long nowNanos, OptionalLong unansweredNanos) {
    if (nextNanos - nowNanos > 0) {
      return Optional.empty();
    }
    nextNanos = nowNanos + everyNanos;
    int waiting = events.waiting();
    if (waiting > 0) {
      events.readAgain();
    }
    return Optional.of(JsonText.of(facts(waiting, nowNanos, unansweredNanos)));
  }

  long restNanos(long nowNanos) {
    return Math.max(0, nextNanos - nowNanos);
  }

  private Facts facts(int waiting, long nowNanos, OptionalLong unansweredNanos) {
    List<Facts> packs = new ArrayList<>();
    for (PackPlan plan : parts.packs()) {
      packs.add(
          Facts.of()
              .put("pack", plan.id())
              .put("last_reading_age_s", readings.ageS(plan.id(), nowNanos))
              .build());
    }
    return Facts.of()
        .putTime("time", parts.time().wallMs())
        .put("packs", packs)
        .put("outbox_waiting", waiting)
        .put("broker_owes_s", unansweredNanos.orElse(0) / NANOS_PER_SECOND)
        .put("disk_free_mb", parts.diskFreeMb().get())
        .build();
  }
}
