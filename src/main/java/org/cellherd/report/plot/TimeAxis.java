package org.cellherd.report.plot;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** Local time from left to right, with its marks at round local times. */
final class TimeAxis {

  private static final int LEAST_PIXELS = 62;
  private static final List<Duration> STEPS =
      List.of(
          Duration.ofMinutes(1),
          Duration.ofMinutes(5),
          Duration.ofMinutes(15),
          Duration.ofMinutes(30),
          Duration.ofHours(1),
          Duration.ofHours(2),
          Duration.ofHours(3),
          Duration.ofHours(6),
          Duration.ofHours(12),
          Duration.ofDays(1),
          Duration.ofDays(2),
          Duration.ofDays(7));
  private static final DateTimeFormatter HOUR = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);
  private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM", Locale.ENGLISH);
  private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMM", Locale.ENGLISH);
  private static final DateTimeFormatter YEAR =
      DateTimeFormatter.ofPattern("MMM uuuu", Locale.ENGLISH);

  private final long fromMs;
  private final long toMs;
  private final ZoneId zone;
  private final int columns;
  private final double left;
  private final double width;

  TimeAxis(Tracks tracks, ZoneId zone, double left, double width) {
    this.fromMs = tracks.fromMs();
    this.toMs = tracks.toMs();
    this.columns = tracks.columns();
    this.zone = zone;
    this.left = left;
    this.width = width;
  }

  record Tick(double x, String text) {}

  double x(long ms) {
    double share = (double) (ms - fromMs) / (toMs - fromMs);
    return left + Math.min(1, Math.max(0, share)) * width;
  }

  double columnX(int column) {
    return left + (column + 0.5) * width / columns;
  }

  List<Tick> ticks() {
    double mostTicks = Math.max(1, width / LEAST_PIXELS);
    double leastMs = (toMs - fromMs) / mostTicks;
    for (Duration step : STEPS) {
      if (step.toMillis() >= leastMs) {
        return ticks(step);
      }
    }
    int months = (int) Math.ceil(leastMs / Duration.ofDays(30).toMillis());
    return months(Math.max(1, months));
  }

  private List<Tick> ticks(Duration step) {
    List<Tick> ticks = new ArrayList<>();
    LocalDateTime at = Instant.ofEpochMilli(fromMs).atZone(zone).toLocalDate().atStartOfDay();
    for (; ms(at) <= toMs; at = at.plus(step)) {
      if (ms(at) >= fromMs && isShown(at)) {
        boolean midnight = at.toLocalTime().toSecondOfDay() == 0;
        ticks.add(new Tick(x(ms(at)), (midnight ? DAY : HOUR).format(at)));
      }
    }
    return ticks;
  }

  /** Each year is named once, where it begins. */
  private List<Tick> months(int step) {
    List<Tick> ticks = new ArrayList<>();
    int named = Integer.MIN_VALUE;
    ZonedDateTime first = Instant.ofEpochMilli(fromMs).atZone(zone);
    LocalDateTime at =
        first.toLocalDate().withDayOfMonth(1).plus(1, ChronoUnit.MONTHS).atStartOfDay();
    for (; ms(at) <= toMs; at = at.plusMonths(step)) {
      ticks.add(new Tick(x(ms(at)), (at.getYear() == named ? MONTH : YEAR).format(at)));
      named = at.getYear();
    }
    return ticks;
  }

  /** False for a time that the clocks leave out in spring. */
  private boolean isShown(LocalDateTime local) {
    return local.atZone(zone).toLocalDateTime().equals(local);
  }

  private long ms(LocalDateTime local) {
    return local.atZone(zone).toInstant().toEpochMilli();
  }
}
