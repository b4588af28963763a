package org.cellherd.alert.state;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.IntStream;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.pack.Facts;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Alerts of some days, whose sentences are by the clock of a zone. */
class SaidZoneTest {
  private static final long FROM_MS = Instant.parse("2026-06-10T00:00:00Z").toEpochMilli();

  private static List<Alert> said(ZoneId zone, Random drawn) {
    return IntStream.range(0, 12).mapToObj(i -> said(zone, drawn, i)).toList();
  }

  private static Alert said(ZoneId zone, Random drawn, int number) {
    long sinceMs = FROM_MS + drawn.nextInt(5 * 86_400_000);
    long nowMs = sinceMs + drawn.nextInt(3_600_000);
    Pulse now = new Pulse(nowMs, 0, 0, 0, 1, true, zone);
    Words words = Words.of("Cell 3 at 3.612 V, above 3.600 V", "", Facts.NONE);
    return new Alert(
        "crate.cell-high.1-" + number,
        new AlertKey("crate", new RuleId("cell-high"), 3),
        AlertState.ACTIVE,
        Priority.WARNING,
        sinceMs,
        nowMs,
        3612,
        3600,
        "mV",
        AlertText.holds(words, sinceMs, now),
        "",
        Facts.NONE,
        Optional.empty(),
        true);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "UTC",
        "Europe/Berlin",
        "Asia/Kathmandu",
        "Asia/Tokyo",
        "America/Lima",
        "America/St_Johns",
        "Pacific/Auckland",
        "Pacific/Honolulu"
      })
  void theClockOfTheSentencesIsFoundWhateverIsSupposed(String written) {
    ZoneId zone = ZoneId.of(written);
    ZoneOffset offset = zone.getRules().getOffset(Instant.ofEpochMilli(FROM_MS));
    for (long seed = 1; seed <= 20; seed++) {
      List<Alert> alerts = said(zone, new Random(seed));

      assertThat(SaidZone.of(alerts, zone)).isEqualTo(zone);
      ZoneId found = SaidZone.of(alerts, ZoneId.of("Africa/Nairobi"));
      assertThat(found.getRules().getOffset(Instant.ofEpochMilli(FROM_MS)))
          .as("seed %d", seed)
          .isEqualTo(offset);
    }
  }

  @Test
  void sentencesOfTwoClocksLeaveTheSupposedOne() {
    List<Alert> alerts =
        List.of(
            said(ZoneOffset.UTC, new Random(1), 1), said(ZoneOffset.ofHours(5), new Random(2), 2));

    assertThat(SaidZone.of(alerts, ZoneOffset.ofHours(1))).isEqualTo(ZoneOffset.ofHours(1));
    assertThat(SaidZone.of(List.of(), ZoneOffset.UTC)).isEqualTo(ZoneOffset.UTC);
  }
}
