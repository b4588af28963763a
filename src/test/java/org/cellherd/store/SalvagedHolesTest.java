package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.between;
import static org.cellherd.store.Logs.reading;
import static org.cellherd.store.Logs.seconds;

import java.util.List;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SessionStart;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;

/** Runs and readings stay apart where what lay between them is lost. */
class SalvagedHolesTest extends DamagedLog {

  @Test
  void aRunWhoseOwnRowIsLostIsSeenAgainAtItsPlace() throws Exception {
    SessionStart second = new SessionStart(T0 + 30 * HOUR, 2, true, false);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", List.of(second, Logs.reading(T0 + 30 * HOUR, 3300)));
      SessionStart third = new SessionStart(T0 + 31 * HOUR, 3, true, false);
      append(log, "a", List.of(third, Logs.reading(T0 + 31 * HOUR, 3300)));
    }
    sql("DELETE FROM session WHERE run = 2");
    leaveOpen();
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<LogEntry> found = all(log, "a");

      assertThat(log.salvage()).isPresent();
      assertThat(found).hasSize(entries.size() + 4);
      assertThat(found.get(entries.size()))
          .isEqualTo(new SessionStart(T0 + 30 * HOUR, 2, false, false));
      assertThat(log.writer().nextRun()).isEqualTo(4);
    }
  }

  /** Else readings of different clocks would follow each other as if nothing had happened. */
  @Test
  void stretchesOfOneRunWhoseRowsAreLostDoNotRunIntoEachOther() throws Exception {
    long start = T0 + 30 * HOUR;
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", List.of(new SessionStart(start, 2, true, false)));
      append(log, "a", seconds(start, 100));
      append(log, "a", List.of(new ClockStep(start + 100_000, start + 50_000)));
      append(log, "a", seconds(start + 51_000, 100));
      append(log, "a", List.of(new SessionStart(start + HOUR, 3, true, false)));
    }
    sql("DELETE FROM session WHERE kind = 'step'");
    leaveOpen();
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<LogEntry> found = all(log, "a").subList(entries.size(), entries.size() + 202);

      assertThat(found.get(101)).isEqualTo(new SessionStart(start + 51_000, 2, false, false));
    }
  }

  @Test
  void rowsThatAreInABlockAlreadyAreNotTakenTwice() throws Exception {
    sql(
        "INSERT INTO recent SELECT id + 100000, pack, session, start_ms, end_ms, crc, data"
            + " FROM block WHERE id BETWEEN 4 AND 6");
    leaveOpen();
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a")).isEqualTo(entries);
    }
  }

  @Test
  void aHoleAfterAnHourOfFewReadingsIsTold() throws Exception {
    long start = T0 + 40 * HOUR;
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", List.of(new SessionStart(start, 2, true, true), reading(start, 3300)));
      long heard = start + 58 * 60_000;
      append(log, "a", List.of(new Gap(start, heard, Gap.Cause.NO_BYTES), reading(heard, 3300)));
      append(log, "a", seconds(start + HOUR, 600));
      append(log, "a", seconds(start + HOUR + 600_000, 600));
    }
    sql("DELETE FROM recent WHERE start_ms < " + (start + HOUR + 600_000));
    leaveOpen();
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<LogEntry> found = between(log, "a", start, Long.MAX_VALUE);

      assertThat(log.salvage()).isPresent();
      assertThat(found).hasSize(1 + 2 + 1 + 1 + 600);
      assertThat(holes(found)).isEmpty();
    }
  }

  @Test
  void aHoleInsideAnHourIsToldWhereTheGapsThemselvesAreLost() throws Exception {
    long start = T0 + 40 * HOUR;
    long silent = start + 1_000_000;
    long heard = start + 2_000_000;
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", List.of(new SessionStart(start, 2, true, true)));
      append(log, "a", seconds(start, 1_000));
      append(log, "a", List.of(new Gap(silent, heard, Gap.Cause.NO_BYTES)));
      append(log, "a", seconds(heard, 5_000));
    }
    leaveOpen();
    overwritePages(pagesOf("gap"), 9);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<LogEntry> found = between(log, "a", start, Long.MAX_VALUE);

      assertThat(log.salvage()).isPresent();
      assertThat(found.stream().filter(Gap.class::isInstance)).hasSize(1);
      assertThat(holes(found)).isEmpty();
    }
  }
}
