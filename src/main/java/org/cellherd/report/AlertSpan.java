package org.cellherd.report;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.Priority;
import org.cellherd.alert.state.AlertText;
import org.cellherd.pack.Facts;
import org.cellherd.pack.SpokenTime;

/**
 * An alert from its raising to its end.
 *
 * @param alert as it was raised
 * @param last as it was last told
 * @param worst the worst priority it had
 * @param fromMs when it was raised, ms UTC
 * @param toMs when its condition was gone, ms UTC; empty while it stands
 * @param acknowledgedBy who saw it; empty for nobody
 */
public record AlertSpan(
    Alert alert,
    Alert last,
    Priority worst,
    long fromMs,
    OptionalLong toMs,
    String acknowledgedBy) {

  /** Units of alerts that look ahead. */
  private static final Set<String> AHEAD = Set.of("min", "h");

  /** Joins the events of each alert, in the order of their first. */
  public static List<AlertSpan> of(List<AlertEvent> events) {
    return of(events, List.of());
  }

  /**
   * Joins the events of each alert, in the order of their first.
   *
   * @param standing alerts as they stand: what they say is newer than their events
   */
  public static List<AlertSpan> of(List<AlertEvent> events, List<Alert> standing) {
    Map<String, List<AlertEvent>> byAlert = new LinkedHashMap<>();
    for (AlertEvent event : events) {
      byAlert.computeIfAbsent(event.alert().id(), id -> new ArrayList<>()).add(event);
    }
    Map<String, Alert> newest = new HashMap<>();
    standing.forEach(alert -> newest.put(alert.id(), alert));
    return byAlert.values().stream()
        .flatMap(told -> occurrences(told).stream())
        .map(span -> span.toldBy(newest.getOrDefault(span.alert.id(), span.last)))
        .toList();
  }

  private AlertSpan toldBy(Alert newest) {
    boolean isNewer = toMs.isEmpty() && newest.timeMs() > last.timeMs();
    return isNewer ? new AlertSpan(alert, newest, worst, fromMs, toMs, acknowledgedBy) : this;
  }

  /** An alert that nobody acknowledged keeps its id when it is raised again, even days later. */
  private static List<AlertSpan> occurrences(List<AlertEvent> events) {
    List<AlertSpan> spans = new ArrayList<>();
    int from = 0;
    for (int next = 1; next < events.size(); next++) {
      AlertSpan before = joined(events.subList(from, next));
      if (events.get(next).change() == AlertEvent.Change.RAISED && before.toMs.isPresent()) {
        spans.add(before);
        from = next;
      }
    }
    spans.add(joined(events.subList(from, events.size())));
    return spans;
  }

  private static AlertSpan joined(List<AlertEvent> events) {
    Alert first = events.get(0).alert();
    Alert last = first;
    Priority worst = first.priority();
    OptionalLong end = OptionalLong.empty();
    String by = "";
    for (AlertEvent event : events) {
      Alert alert = event.alert();
      last = event.change() == AlertEvent.Change.ACKNOWLEDGED ? last : alert;
      worst = alert.priority().compareTo(worst) < 0 ? alert.priority() : worst;
      by = alert.acknowledgedBy().orElse(by);
      boolean over =
          switch (event.change()) {
            case RETURNED, CLEARED, NOTICE -> true;
            case RAISED, REPEATED, ESCALATED, ACKNOWLEDGED -> false;
          };
      // An acknowledgement after its end does not make an alert stand again.
      if (over) {
        end = end.isPresent() ? end : OptionalLong.of(goneMs(alert));
      } else if (event.change() != AlertEvent.Change.ACKNOWLEDGED) {
        end = OptionalLong.empty();
      }
    }
    return new AlertSpan(first, last, worst, first.timeMs(), end, by);
  }

  /** When its condition was gone, as its sentences say; that it was over is told later. */
  private static long goneMs(Alert over) {
    return Alert.Peak.of(over).map(Alert.Peak::goneMs).orElse(over.timeMs());
  }

  /** How long its condition held, ms; while it is active the most that can be. */
  long lastedMs() {
    return toMs.isEmpty()
        ? Long.MAX_VALUE
        : Alert.Peak.of(last).map(Alert.Peak::lastedMs).orElse(0L);
  }

  /**
   * What it was: by its peak, and while it is active by what was told last, and when; never by what
   * was only foreseen.
   */
  public String text(ZoneId zone) {
    Optional<Alert.Peak> peak = Alert.Peak.of(last);
    if (toMs.isEmpty()) {
      String newest = AlertText.past(last.text(), last.timeMs(), fromMs, zone);
      // How soon something may come is no longer news once it is written down.
      return peak.filter(p -> !AHEAD.contains(last.unit()))
          .map(p -> worst(p, fromMs, zone) + ". " + newest)
          .orElse(newest);
    }
    return over(last, fromMs, zone).orElse(last.text());
  }

  /**
   * What an alert was that is over, by its peak; empty where none was noted.
   *
   * @param nearMs a time on whose day no date is needed, ms UTC
   */
  public static Optional<String> over(Alert last, long nearMs, ZoneId zone) {
    // What has no limit is as bad at any time; its value now may be unknown although it had one.
    boolean hasWorst = !Double.isNaN(last.limit());
    return Alert.Peak.of(last)
        .map(
            peak ->
                (hasWorst ? worst(peak, nearMs, zone) : peak.what())
                    + "; this lasted "
                    + SpokenTime.length(peak.lastedMs())
                    + " in all.");
  }

  private static String worst(Alert.Peak peak, long nearMs, ZoneId zone) {
    return peak.what() + ", at its worst at " + SpokenTime.near(peak.atMs(), nearMs, zone);
  }

  /** The numbers behind that. */
  public Facts evidence() {
    return Alert.Peak.without(last.evidence());
  }
}
