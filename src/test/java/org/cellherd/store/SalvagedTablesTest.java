package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;

import java.util.List;
import org.cellherd.pack.Channel;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.Test;

/** What a salvage saves of the tables beside the readings. */
class SalvagedTablesTest extends DamagedLog {

  @Test
  void statisticsLostWithTheirPagesAreComputedAnew() throws Exception {
    List<Statistics.Summary> hours = cellHours();
    List<Statistics.Summary> days = cellDays();
    leaveOpen();
    overwritePages(pagesOf("hour"), 2);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
    }

    assertThat(cellHours()).startsWith(hours.toArray(Statistics.Summary[]::new));
    assertThat(cellDays().get(0))
        .usingRecursiveComparison()
        .ignoringFields("mean")
        .isEqualTo(days.get(0));
  }

  @Test
  void whatBecameOfNotesAndOfTimesAndWhoseLogItIsAreSaved() throws Exception {
    writeTwoNotes();
    sql("UPDATE identity SET uuid = '01234567-89ab-cdef-0123-456789abcdef'");
    sql("INSERT INTO board VALUES (1, 'a', 'serial 17', 9)");
    sql("INSERT INTO redating VALUES (1, 'a', 9, 'me', 1, 2, 3, 4, 5, 6)");
    leaveOpen();
    overwritePages(pagesOf("block"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(log.remarks().notes("a", 0, Long.MAX_VALUE))
          .containsExactly(new Note("a", T0, "me", "right"));
      assertThat(log.remarks().note("a", 2).orElseThrow().changes())
          .containsExactly(new Note.Change(2, T0 + 1, "you", null));
      assertThat(log.uuid()).isEqualTo("01234567-89ab-cdef-0123-456789abcdef");
      assertThat(log.boards().of("a")).contains("serial 17");
      assertThat(log.redatings("a"))
          .containsExactly(new Redating.Past(9, "me", new Redating.Done(4, 5, 6, 1, 2, 3)));
    }
  }

  @Test
  void aNoteAfterOnesThatWereLostIsNotWithdrawnWithThem() throws Exception {
    writeTwoNotes();
    leaveOpen();
    overwritePages(pagesOf("note"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      Note next = new Note("a", T0, "me", "next");
      assertThat(log.remarks().add(next)).isEqualTo(3);
      assertThat(log.remarks().notes("a", 0, Long.MAX_VALUE)).containsExactly(next);
    }
  }

  @Test
  void anOlderSchemaThatIsDamagedLosesNothingForWantOfNewTables() throws Exception {
    leaveOpen();
    sql("DROP TABLE note_change");
    sql("DROP TABLE redating");
    sql("DROP TABLE identity");
    sql("DELETE FROM schema_version WHERE version >= 3");
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a")).isEqualTo(entries);
      assertThat(log.alertLog().waitingCount()).isEqualTo(40);
      assertThat(log.remarks().notes("a", 0, Long.MAX_VALUE)).isEmpty();
    }
  }

  @Test
  void rowsThatNobodyWroteAreLeftOut() throws Exception {
    sql("UPDATE hour SET start_ms = x'5a5a', count = 'many' WHERE channel = 'cell_2'");
    leaveOpen();
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a")).isEqualTo(entries);
    }
    assertThat(cellDays()).isNotEmpty();
  }

  private void writeTwoNotes() throws StorageFailure {
    try (Remarks beside = Remarks.open(file, StoreSettings.DEFAULT)) {
      beside.change(
          new Note.Change(beside.add(new Note("a", T0, "me", "wrong")), T0, "you", "right"));
      beside.change(
          new Note.Change(beside.add(new Note("a", T0, "me", "none")), T0 + 1, "you", null));
    }
  }

  private List<Statistics.Summary> cellHours() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.READER)) {
      return log.statistics().hourStatistics("a", Channel.cell(3), 0, Long.MAX_VALUE);
    }
  }

  private List<Statistics.Summary> cellDays() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.READER)) {
      return log.statistics().dayStatistics("a", Channel.cell(3), 0, Long.MAX_VALUE);
    }
  }
}
