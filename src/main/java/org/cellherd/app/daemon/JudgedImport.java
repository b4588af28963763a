package org.cellherd.app.daemon;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.LongPredicate;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.pack.LogEntry;

/**
 * What the rules say of imported readings while a whole log is read. Its alerts have ids of their
 * own, so that none is taken for one of a run, and end where a run's own watch of the pack begins.
 * One thread.
 */
final class JudgedImport {
  private final LongPredicate isImported;
  private final Map<String, Alert> last = new LinkedHashMap<>();
  private final Map<String, Alert> open = new LinkedHashMap<>();
  private final List<AlertEvent> events = new ArrayList<>();

  /** Nothing judged yet; the times that were imported, ms UTC. */
  JudgedImport(LongPredicate isImported) {
    this.isImported = isImported;
  }

  void take(LogEntry entry, List<AlertEvent> changes) {
    if (!isImported.test(entry.timeMs())) {
      endAll(entry.timeMs());
      return;
    }
    for (AlertEvent change : changes) {
      String id = idOf(change.alert());
      // What a run raised before is the run's to end; what was over may come back.
      boolean isBack = change.stands() && last.containsKey(id);
      if (change.change() == Change.RAISED || open.containsKey(id) || isBack) {
        String suffix = change.id().substring(change.alert().id().length());
        note(new AlertEvent(id + suffix, change.change(), change.alert().named(id)));
      }
    }
  }

  private static String idOf(Alert alert) {
    int run = alert.id().lastIndexOf('.');
    return alert.id().substring(0, run) + AlertEvent.JUDGED_MARK + alert.id().substring(run + 1);
  }

  private void endAll(long timeMs) {
    for (Alert alert : List.copyOf(open.values())) {
      Alert over = alert.ended(timeMs, "Still so at the end of the imported readings: ");
      note(new AlertEvent(alert.id() + ":end", Change.CLEARED, over));
    }
  }

  private void note(AlertEvent event) {
    events.add(event);
    last.put(event.alert().id(), event.alert());
    if (event.stands()) {
      open.put(event.alert().id(), event.alert());
    } else {
      open.remove(event.alert().id());
    }
  }

  /** All changes, in order. */
  List<AlertEvent> events() {
    return events;
  }

  /** The alerts as they were last told, in the order in which they began. */
  List<Alert> alerts() {
    return List.copyOf(last.values());
  }
}
