package org.cellherd.app.daemon;

import java.time.Duration;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.alert.Alert;

/**
 * Picks the active alerts that say something else than when they were picked last: nothing happened
 * to them, but a silent line leaves them without confirmation, or a value went on. One thread.
 */
final class Afresh {

  private final Every every;
  private Map<String, Alert> said = new HashMap<>();

  Afresh(Duration distance) {
    this.every = new Every(distance);
  }

  /** True when it is time to look. */
  boolean isDue(long nowNanos) {
    return every.isDue(nowNanos);
  }

  /** It was said by an event. */
  void said(Alert alert) {
    said.put(alert.id(), alert);
  }

  /** True when one of the active alerts is in another state than was said of it. */
  boolean hasTurned(List<Alert> active) {
    return active.stream()
        .anyMatch(
            alert -> {
              Alert before = said.get(alert.id());
              return before != null && before.state() != alert.state();
            });
  }

  /** Those of all active alerts that are not as they were at the last call. */
  List<Alert> changed(List<Alert> active) {
    Map<String, Alert> now = new HashMap<>();
    active.forEach(alert -> now.put(alert.id(), alert));
    List<Alert> changed =
        active.stream().filter(alert -> !alert.equals(said.get(alert.id()))).toList();
    said = now;
    return changed;
  }
}
