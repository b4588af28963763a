package org.cellherd.store;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.OptionalLong;

/**
 * Readings that the log had, or should have, and does not give back.
 *
 * @param pack the pack's id
 * @param fromMs time of the first, ms UTC
 * @param toMs time of the last, ms UTC
 * @param readings how many; empty when nothing tells
 * @param isExact false when the number is reckoned from the pace of the readings around
 * @param why the cause, one clause
 */
record Loss(
    String pack, long fromMs, long toMs, OptionalLong readings, boolean isExact, String why) {

  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm:ss", Locale.ROOT).withZone(ZoneOffset.UTC);

  /** A time as the sentences of this package write it, in UTC. */
  public static String time(long ms) {
    return TIME.format(Instant.ofEpochMilli(ms)) + " UTC";
  }

  /** This and a later one of the same pack and cause as one. */
  public Loss and(Loss later) {
    boolean known = readings.isPresent() && later.readings.isPresent();
    return new Loss(
        pack,
        Math.min(fromMs, later.fromMs),
        Math.max(toMs, later.toMs),
        known
            ? OptionalLong.of(readings.getAsLong() + later.readings.getAsLong())
            : OptionalLong.empty(),
        isExact && later.isExact,
        why);
  }

  /** One sentence: which readings, how many, why. */
  public String sentence() {
    String number =
        readings.isEmpty()
            ? "readings"
            : (isExact ? "" : "about ")
                + readings.getAsLong()
                + (readings.getAsLong() == 1 ? " reading" : " readings");
    return "Pack %s: %s from %s to %s lost: %s."
        .formatted(pack, number, time(fromMs), time(toMs), why);
  }
}
