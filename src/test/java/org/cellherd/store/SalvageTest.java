package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.seconds;

import java.io.RandomAccessFile;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;

/** What power loss and bad cards do to the pages of a file, and what is saved. */
class SalvageTest extends DamagedLog {

  @Test
  void aFlippedBitInABlockCostsThatHourAndSaysSo() throws Exception {
    sql(
        "UPDATE block SET data = cast(substr(data, 1, 500) || x'5a' || substr(data, 502) AS BLOB)"
            + " WHERE id = 7");

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<LogEntry> found = all(log, "a");

      assertThat(log.salvage()).isEmpty();
      assertThat(found.size()).isEqualTo(entries.size() - 300 + 1);
      assertThat(found).contains(new Gap(T0 + 6 * HOUR, T0 + 7 * HOUR - 12_000, Gap.Cause.UNKNOWN));
    }
  }

  @Test
  void aDamagedPageInTheMiddleCostsLittleAndNoAlert() throws Exception {
    leaveOpen();
    overwritePages(pagesOf("block"), 8);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      Salvage salvage = log.salvage().orElseThrow();
      Set<LogEntry> found = new HashSet<>(all(log, "a"));

      assertThat(salvage.damaged()).exists().hasFileName("log.db.damaged-1");
      assertThat(salvage.alertsKept()).isEqualTo(40);
      assertThat(log.alertLog().waitingCount()).isEqualTo(40);
      assertThat(salvage.blocksLost()).isBetween(1L, 9L);
      assertThat(salvage.sentence()).contains("log.db.damaged-1");
      found.retainAll(new HashSet<>(entries));
      assertThat(found.size())
          .isGreaterThanOrEqualTo(entries.size() - 300 * (int) salvage.blocksLost());
    }
    assertReopensWhole();
  }

  /** A page of a table can hold the heads of nine hours. */
  @Test
  void whicheverPageIsLostItCostsItsOwnRowsAtMost() throws Exception {
    leaveOpen();
    byte[] whole = Files.readAllBytes(file);
    byte[] noise = new byte[PAGE];
    new Random(5).nextBytes(noise);
    for (int page = 2; page * PAGE <= whole.length; page += 8) {
      byte[] bad = whole.clone();
      System.arraycopy(noise, 0, bad, (page - 1) * PAGE, PAGE);
      Path victim = folder.resolve("victim-" + page + ".db");
      Files.write(victim, bad);

      try (LogFile log = LogFile.open(victim, OpenMode.WRITER)) {
        List<LogEntry> found = all(log, "a");
        found.removeIf(entry -> entry instanceof Gap);
        assertThat(found.size())
            .as("page %d", page)
            .isBetween(entries.size() - 9 * 300 - 1, entries.size());
        assertThat(log.alertLog().waitingCount()).as("page %d", page).isBetween(34, 40);
      }
    }
    assertThat(folder.toFile().list((f, name) -> name.contains("mending"))).isEmpty();
  }

  @Test
  void aTornEndCostsOnlyWhatWasThere() throws Exception {
    leaveOpen();
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.truncate(channel.size() - 3L * PAGE - 200);
    }

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a").size()).isGreaterThan(entries.size() - 1300);
    }
    assertReopensWhole();
  }

  @Test
  void aFileThatIsNoDatabaseAnyMoreIsMovedAsideAndReplaced() throws Exception {
    try (RandomAccessFile raw = new RandomAccessFile(file.toFile(), "rw")) {
      raw.write(new byte[4096]);
    }

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      Salvage salvage = log.salvage().orElseThrow();

      assertThat(salvage.complete()).isFalse();
      assertThat(Files.size(salvage.damaged())).isGreaterThan(50_000);
      append(log, "a", seconds(T0, 10));
    }
    assertReopensWhole();
  }

  @Test
  void randomDamageNeverEscapesAsAnythingElse() throws Exception {
    byte[] whole = Files.readAllBytes(file);
    Random random = new Random(11);
    for (int round = 0; round < 6; round++) {
      byte[] bad = whole.clone();
      for (int hit = 0; hit < 8; hit++) {
        bad[100 + random.nextInt(bad.length - 100)] ^= (byte) (1 + random.nextInt(255));
      }
      Path victim = folder.resolve("victim-" + round + ".db");
      Files.write(victim, bad);
      try (LogFile log = LogFile.open(victim, OpenMode.WRITER)) {
        append(log, "b", seconds(T0, 20));
        assertThat(all(log, "b").size()).isEqualTo(20);
        all(log, "a");
      } catch (StorageFailure e) {
        assertThat(e.getMessage()).contains("victim-" + round);
      }
    }
  }
}
