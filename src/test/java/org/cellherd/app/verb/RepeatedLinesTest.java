package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.logging.Level;
import java.util.logging.LogRecord;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** A day of trouble, drawn: the books balance and the log stays short. */
class RepeatedLinesTest {

  private static final Pattern MORE = Pattern.compile("\\[(once|(\\d+) times) more in \\d+ min\\]");
  private static final long START = 1_767_225_600_000L;

  private static LogRecord line(String text, long ms) {
    LogRecord record = new LogRecord(Level.WARNING, text);
    record.setInstant(Instant.ofEpochMilli(ms));
    return record;
  }

  @Test
  void aDayOfDrawnTroubleWritesLittleAndCountsAll() {
    for (int seed = 1; seed <= 5; seed++) {
      Random random = new Random(seed);
      RepeatedLines lines = new RepeatedLines();
      List<LogRecord> written = new ArrayList<>();
      int kinds = 2 + random.nextInt(8);
      long taken = 0;
      for (long ms = START; ms < START + 86_400_000; ms += 200 + random.nextInt(2_000)) {
        String text =
            "pack p%d: port /dev/ttyUSB%d is gone after %d bytes"
                .formatted(random.nextInt(kinds), random.nextInt(9), random.nextInt());
        written.addAll(lines.take(line(text, ms)));
        taken++;
      }
      // A quiet hour later everything that was counted is written.
      written.addAll(lines.take(line("end", START + 2 * 86_400_000L)));

      long bytes = written.stream().mapToLong(r -> r.getMessage().length()).sum();
      assertThat(bytes).as("seed %d", seed).isLessThan(kinds * 50L * 120);
      long told = written.stream().mapToLong(RepeatedLinesTest::stands).sum();
      assertThat(told).as("seed %d", seed).isEqualTo(taken + 1);
    }
  }

  /** How many lines a written one stands for. */
  private static long stands(LogRecord record) {
    Matcher more = MORE.matcher(record.getMessage());
    if (!more.find()) {
      return 1;
    }
    return more.group(1).equals("once") ? 1 : Long.parseLong(more.group(2));
  }

  @Test
  void aNewKindIsWrittenAtOnceAndPacksAreToldApart() {
    RepeatedLines lines = new RepeatedLines();

    assertThat(lines.take(line("pack a1: silent for 16 s", START))).hasSize(1);
    assertThat(lines.take(line("pack a1: silent for 17 s", START))).isEmpty();
    assertThat(lines.take(line("pack a2: silent for 17 s", START))).hasSize(1);
    assertThat(lines.take(line("pack a1: live", START))).hasSize(1);
  }

  @Test
  void alertsAlwaysPass() {
    RepeatedLines lines = new RepeatedLines();
    for (int i = 0; i < 10; i++) {
      LogRecord alert = line("pack a: critical runner raised", START);
      alert.setLoggerName(RepeatedLines.ALERTS);
      assertThat(lines.take(alert)).containsExactly(alert);
    }
  }

  @Test
  void anHourlyLineIsWrittenEachHour() {
    RepeatedLines lines = new RepeatedLines();
    for (int hour = 0; hour < 5; hour++) {
      assertThat(lines.take(line("pack a: charging at 2 A", START + hour * 3_590_000L))).hasSize(1);
    }
  }
}
