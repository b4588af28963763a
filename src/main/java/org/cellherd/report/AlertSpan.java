package org.cellherd.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.Priority;

/**
 * An alert from its raising to its end.
 *
 * @param alert as it was raised
 * @param worst the worst priority it had
 * @param fromMs when it was raised, ms UTC
 * @param toMs when it was over; empty while it stands
 * @param acknowledgedBy who saw it; empty for nobody
 */
public record AlertSpan(
    Alert alert, Priority worst, long fromMs, OptionalLong toMs, String acknowledgedBy) {

  /** Joins the events of each alert, in the order of their first. */
  public static List<AlertSpan> of(List<AlertEvent> events) {
    Map<String, List<AlertEvent>> byAlert = new LinkedHashMap<>();
    for (AlertEvent event : events) {
      byAlert.computeIfAbsent(event.alert().id(), id -> new ArrayList<>()).add(event);
    }
    return byAlert.values().stream().map(AlertSpan::joined).toList();
  }

  private static AlertSpan joined(List<AlertEvent> events) {
    Alert first = events.get(0).alert();
    Priority worst = first.priority();
    OptionalLong end = OptionalLong.empty();
    String by = "";
    for (AlertEvent event : events) {
      Alert alert = event.alert();
      worst = alert.priority().compareTo(worst) < 0 ? alert.priority() : worst;
      by = alert.acknowledgedBy().orElse(by);
      boolean over =
          switch (event.change()) {
            case RETURNED, CLEARED, NOTICE -> true;
            case RAISED, REPEATED, ESCALATED, ACKNOWLEDGED -> false;
          };
      // An acknowledgement after its end does not make an alert stand again.
      if (over) {
        end = end.isPresent() ? end : OptionalLong.of(alert.timeMs());
      } else if (event.change() != AlertEvent.Change.ACKNOWLEDGED) {
        end = OptionalLong.empty();
      }
    }
    return new AlertSpan(first, worst, first.timeMs(), end, by);
  }
}
