package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.pack.Facts;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What the truth of a pack bears of what alerts say. */
class PackTruthTest {

  @TempDir private Path folder;

  /** The second of three nights empties the pack; the log ends within a fourth. */
  private PackTruth nights() throws IOException {
    Files.writeString(
        folder.resolve("truth.json"),
        """
        {"from": "2026-05-01T12:00:00+00:00", "to": "2026-05-04T22:00:00+00:00",
         "drawn": {"cut_v": 2.5}, "extremes": {"cell_v": [2.5, 3.5]}}
        """);
    StringBuilder rows = new StringBuilder("time,current_a,cell_1_v,cell_2_v\n");
    for (Instant at = Instant.parse("2026-05-01T12:00:00Z");
        at.isBefore(Instant.parse("2026-05-04T22:00:00Z"));
        at = at.plusSeconds(60)) {
      boolean isEmpty = at.toString().startsWith("2026-05-03T05");
      rows.append(at).append(",-5,3.25,").append(isEmpty ? "2.6" : "").append('\n');
    }
    Files.writeString(folder.resolve("readings.csv"), rows);
    return PackTruth.read(folder);
  }

  private static Alert emptyAhead(Instant at, Priority priority, double hoursToSun) {
    return new Alert(
        "crate.empty-ahead.1-1",
        new AlertKey("crate", new RuleId("empty-ahead"), 0),
        AlertState.ACTIVE,
        priority,
        at.toEpochMilli(),
        at.toEpochMilli(),
        5,
        hoursToSun,
        "h",
        "",
        "",
        Facts.of().put("hours_to_sun", hoursToSun, 1).build(),
        Optional.empty(),
        true);
  }

  @ParameterizedTest
  @CsvSource({
    "2026-05-01T20:00:00Z, false",
    "2026-05-02T20:00:00Z, true",
    "2026-05-03T20:00:00Z, false",
    "2026-05-04T20:00:00Z, true"
  })
  void aForecastOfANightIsHeldAgainstThatNight(Instant at, boolean isSo) throws IOException {
    PackTruth truth = nights();

    assertThat(truth.bears(emptyAhead(at, Priority.WARNING, 12))).isEqualTo(isSo);
    assertThat(truth.bears(emptyAhead(at, Priority.NOTE, 12))).isEqualTo(isSo);
  }

  @Test
  void aPackThatWasEmptyBeforeItWasToldOfIsNotEmptyAhead() throws IOException {
    Instant after = Instant.parse("2026-05-03T06:10:00Z");

    assertThat(nights().bears(emptyAhead(after, Priority.WARNING, 1.8))).isFalse();
  }
}
