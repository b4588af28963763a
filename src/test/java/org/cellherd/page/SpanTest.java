package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

final class SpanTest {

  private static final ZoneId BERLIN = ZoneId.of("Europe/Berlin");

  private static long hours(String text) {
    Span span = Span.of(text, BERLIN).orElseThrow();
    return Duration.ofMillis(span.toMs() - span.fromMs()).toHours();
  }

  @Test
  void daysAreLocalAndAsLongAsTheClocksMakeThem() {
    assertThat(hours("2026-01-15")).isEqualTo(24);
    assertThat(hours("2026-03-29")).isEqualTo(23);
    assertThat(hours("2026-10-25")).isEqualTo(25);
    assertThat(hours("2026-02")).isEqualTo(28 * 24);
    assertThat(hours("2028")).isEqualTo(366 * 24);
  }

  /** A night is whole: from noon to noon by the clocks of the site. */
  @Test
  void nightsGoFromNoonToNoon() {
    Span night = Span.of("2026-03-28-night", BERLIN).orElseThrow();

    assertThat(Instant.ofEpochMilli(night.fromMs())).isEqualTo("2026-03-28T11:00:00Z");
    assertThat(Instant.ofEpochMilli(night.toMs())).isEqualTo("2026-03-29T10:00:00Z");
    assertThat(hours("2026-10-24-night")).isEqualTo(25);
  }

  @Test
  void anySpanIsAskedForByItsLocalTimes() {
    Span span = Span.of("2026-03-28T18:00..2026-03-29T06:30", BERLIN).orElseThrow();

    assertThat(Instant.ofEpochMilli(span.fromMs())).isEqualTo("2026-03-28T17:00:00Z");
    assertThat(Instant.ofEpochMilli(span.toMs())).isEqualTo("2026-03-29T04:30:00Z");
    assertThat(Span.of("2026-03-29T06:30..2026-03-28T18:00", BERLIN)).isEmpty();
    assertThat(Span.of("2026-03-28T18:00..2031-03-28T18:00", BERLIN)).isEmpty();
    assertThat(Span.of("..", BERLIN)).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "2026-02-30-night",
        "2026-01-01T25:00..2026-01-02T00:00",
        "",
        "x",
        "2026-13",
        "2026-02-30",
        "26-01-01",
        "-999",
        "9999",
        "2026-1-1"
      })
  void anythingElseIsNoSpan(String text) {
    assertThat(Span.of(text, BERLIN)).isEmpty();
  }
}
