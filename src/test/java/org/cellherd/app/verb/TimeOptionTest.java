package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.time.ZoneId;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class TimeOptionTest {

  private static final long NOW = Instant.parse("2026-03-29T12:00:00Z").toEpochMilli();
  private static final ZoneId ZONE = ZoneId.of("Europe/Lisbon");

  @ParameterizedTest
  @CsvSource({
    "2026-01-31,2026-01-31T00:00:00Z",
    "2026-07-01,2026-06-30T23:00:00Z",
    "2026-07-01T18:00,2026-07-01T17:00:00Z",
    "2026-01-31T18:00Z,2026-01-31T18:00:00Z",
    "2026-01-31T18:00:30+02:00,2026-01-31T16:00:30Z",
    "1 Jul 2026,2026-06-30T23:00:00Z",
    "31 Jan 2026 18:00,2026-01-31T18:00:00Z",
    "31 Jan 2026 18:00:30,2026-01-31T18:00:30Z",
    "90m,2026-03-29T10:30:00Z",
    "12h,2026-03-29T00:00:00Z",
    "7d,2026-03-22T12:00:00Z"
  })
  void timeIsReadInTheOwnersZone(String text, String expected) {
    assertThat(new TimeOption().convert(text).resolve(NOW, ZONE))
        .isEqualTo(Instant.parse(expected).toEpochMilli());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"", "yesterday", "2026-13-01", "2026-01-31T25:00", "7y", "-7d", "31 Feb 2026"})
  void whatIsNoTimeIsRefusedWithExamples(String text) {
    assertThatThrownBy(() -> new TimeOption().convert(text))
        .hasMessageContaining("2026-01-31T18:00");
  }
}
