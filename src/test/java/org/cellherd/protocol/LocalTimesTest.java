package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.zone.ZoneOffsetTransition;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/** Times by the clock of a zone, drawn around the days when clocks are set. */
class LocalTimesTest {

  private static final List<String> ZONES =
      List.of("Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Asia/Tokyo", "UTC");

  private final Problems problems = new Problems();

  private ReadingCsvReader reader(ZoneId zone) {
    ReadingCsv columns = ReadingCsv.ofHeader("a.csv", "time,pack_v", false, problems).orElseThrow();
    return new ReadingCsvReader("a.csv", columns, Optional.of(zone), problems);
  }

  private static ZoneOffsetTransition change(ZoneId zone, Random random) {
    Instant any = Instant.ofEpochSecond(1_500_000_000L + random.nextInt(500_000_000));
    ZoneOffsetTransition next = zone.getRules().nextTransition(any);
    return next == null ? ZoneId.of("Europe/Berlin").getRules().nextTransition(any) : next;
  }

  @Test
  void theInstantsOfADriftingLoggerAreFoundAgainThroughEveryChangeOfTheClock() {
    for (int seed = 0; seed < 2000; seed++) {
      Random random = new Random(seed);
      ZoneId zone = ZoneId.of(ZONES.get(seed % ZONES.size()));
      ZoneOffsetTransition change = change(zone, random);
      ReadingCsvReader reader = reader(zone);
      // Less than half of the shortest doubled time there is, 30 min: then no pass goes unseen.
      int paceS = 1 + random.nextInt(14 * 60);
      long at = change.toEpochSecond() - 5400 - random.nextInt(600);
      long doubled = 0;
      for (; at < change.toEpochSecond() + 5400; at += paceS) {
        LocalDateTime there = LocalDateTime.ofInstant(Instant.ofEpochSecond(at), zone);
        doubled += zone.getRules().getValidOffsets(there).size() == 2 ? 1 : 0;
        String text = there.toString() + (there.getSecond() == 0 ? ":00" : "");
        String shown = random.nextBoolean() ? text : text.replace('T', ' ');

        long found = reader.read(2, shown + ",13.1").orElseThrow().timeMs();

        String which = "seed " + seed + ", " + zone + " " + shown + " pace " + paceS;
        assertThat(found).as(which).isEqualTo(1000 * at);
      }
      assertThat(reader.counts().ambiguous()).as("seed %d", seed).isEqualTo(doubled);
      assertThat(reader.counts().outOfOrder()).as("seed %d", seed).isZero();
    }
    assertThat(problems.toString()).isEmpty();
  }

  @Test
  void aTimeThatClocksNeverShowedIsRefused() {
    for (int seed = 0; seed < 200; seed++) {
      Random random = new Random(seed);
      ZoneId zone = ZoneId.of("Europe/Berlin");
      ZoneOffsetTransition change = change(zone, random);
      if (!change.isGap()) {
        continue;
      }
      LocalDateTime never = change.getDateTimeBefore().plusSeconds(random.nextInt(3600));
      Problems told = new Problems();
      ReadingCsv columns = ReadingCsv.ofHeader("a.csv", "time", false, told).orElseThrow();
      ReadingCsvReader reader = new ReadingCsvReader("a.csv", columns, Optional.of(zone), told);

      assertThat(reader.read(2, never + "")).as("seed %d: %s", seed, never).isEmpty();
      assertThat(told.toString()).contains("clocks of Europe/Berlin never showed");
    }
  }

  @Test
  void withoutAZoneATimeWithoutOffsetIsRefusedWithTheWayOut() {
    ReadingCsv columns = ReadingCsv.ofHeader("a.csv", "time", false, problems).orElseThrow();

    ReadingCsvReader reader = new ReadingCsvReader("a.csv", columns, problems);
    reader.read(2, "2026-01-31 18:00:00");
    reader.read(3, "2026-01-31 18:00:10");
    reader.read(4, "noon");

    assertThat(problems.toString().lines())
        .satisfiesExactly(
            line -> assertThat(line).contains("a.csv:2", "has no offset", "--zone"),
            line -> assertThat(line).contains("a.csv:4", "noon"));
    assertThat(reader.counts().refused()).isEqualTo(3);
  }

  @Test
  void aDoubledRowInTheDoubledHourStaysInItsPass() {
    ReadingCsvReader reader = reader(ZoneId.of("Europe/Berlin"));
    long first = reader.read(2, "2025-10-26T02:10:00,1").orElseThrow().timeMs();
    assertThat(reader.read(3, "2025-10-26T02:10:00,1").orElseThrow().timeMs()).isEqualTo(first);
    assertThat(reader.read(4, "2025-10-26T02:10:10,1").orElseThrow().timeMs())
        .isEqualTo(first + 10_000);
    assertThat(reader.read(5, "2025-10-26T02:10:05,1").orElseThrow().timeMs())
        .isEqualTo(first + 5_000);
  }
}
