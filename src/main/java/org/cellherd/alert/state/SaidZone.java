package org.cellherd.alert.state;

import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.Comparator;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import org.cellherd.alert.Alert;

/**
 * By whose clock the sentences of alerts are. A log keeps sentences with the times of the plan that
 * judged it, not that plan: who reads it elsewhere, or without the plan, would print other times
 * beside them.
 */
final class SaidZone {

  /**
   * Zones differ by quarters of an hour, from 11 h behind to 14 h ahead where people live; a clock
   * 12 h behind shows what one 12 h ahead does.
   */
  private static final int STEP_S = 900;

  private static final int MOST_BEHIND = -11 * 4;
  private static final int MOST_AHEAD = 14 * 4;

  private static final Pattern SINCE = Pattern.compile(", since (" + AlertText.TIME + ")\\.");

  private SaidZone() {}

  /**
   * The supposed zone, unless the sentences say when their alerts began by another clock: then the
   * offset of that, the smallest that all of them fit.
   */
  static ZoneId of(List<Alert> alerts, ZoneId supposed) {
    List<Alert> dated = alerts.stream().filter(a -> SINCE.matcher(a.text()).find()).toList();
    if (dated.stream().allMatch(alert -> fits(alert, supposed))) {
      return supposed;
    }
    return IntStream.rangeClosed(MOST_BEHIND, MOST_AHEAD)
        .boxed()
        .sorted(Comparator.comparing(Math::abs))
        .<ZoneId>map(steps -> ZoneOffset.ofTotalSeconds(steps * STEP_S))
        .filter(zone -> dated.stream().allMatch(alert -> fits(alert, zone)))
        .findFirst()
        .orElse(supposed);
  }

  private static boolean fits(Alert alert, ZoneId zone) {
    Matcher since = SINCE.matcher(alert.text());
    return since.find()
        && since.group(1).equals(AlertText.time(alert.sinceMs(), alert.timeMs(), zone));
  }
}
