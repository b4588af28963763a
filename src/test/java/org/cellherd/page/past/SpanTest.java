package org.cellherd.page.past;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
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

  @ParameterizedTest
  @ValueSource(strings = {"", "x", "2026-13", "2026-02-30", "26-01-01", "-999", "9999", "2026-1-1"})
  void anythingElseIsNoSpan(String text) {
    assertThat(Span.of(text, BERLIN)).isEmpty();
  }
}
