package org.cellherd.json;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.OptionalLong;

/** Instants as ISO 8601 text. */
public final class IsoTime {

  /** End of the year 9999, the last that the form can write, ms UTC. */
  public static final long LAST_MS = 253_402_300_799_999L;

  private static final DateTimeFormatter SECONDS =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss", Locale.ROOT).withZone(ZoneOffset.UTC);

  private IsoTime() {}

  /** In UTC, such as {@code 2026-01-01T00:00:00Z}; with ms only when they are not 0. */
  public static String of(long ms) {
    String seconds = SECONDS.format(Instant.ofEpochMilli(ms));
    long rest = Math.floorMod(ms, 1000L);
    return rest == 0 ? seconds + "Z" : seconds + String.format(Locale.ROOT, ".%03dZ", rest);
  }

  /** ms UTC of a text with an offset or Z; empty for anything else. */
  public static OptionalLong ms(String text) {
    try {
      return OptionalLong.of(OffsetDateTime.parse(text).toInstant().toEpochMilli());
    } catch (DateTimeException | ArithmeticException e) {
      return OptionalLong.empty();
    }
  }
}
