package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.reading;
import static org.cellherd.store.Logs.seconds;

import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Whatever takes the place of an open log or its tail, in drawn ways at drawn times: it is noticed
 * with the next readings, stays as it is to the last byte, and no reading is lost unsaid.
 */
class OverwrittenTest {

  private static final int DRAWS = Integer.getInteger("store.overwrites", 22);
  private static final long SEED = Long.getLong("store.seed", 3);
  private static final int MOST = 6000;

  @TempDir private Path folder;
  private int refused;

  /** What happens to the files; true when the log itself is no longer ours. */
  private enum Mishap {
    ANOTHER_LOG_OVER_IT(true),
    AN_OLDER_COPY_OVER_IT(true),
    A_TEXT_OVER_IT(true),
    CUT_TO_NOTHING(true),
    ANOTHER_LOG_IN_ITS_PLACE(true),
    REMOVED(true),
    TAIL_REMOVED(false),
    TAIL_MOVED(false),
    TAIL_OF_ANOTHER_IN_ITS_PLACE(false),
    NOTES_WRITTEN_BESIDE(false),
    COPIED(false);

    final boolean isLost;

    Mishap(boolean isLost) {
      this.isLost = isLost;
    }
  }

  @Test
  void whatTakesTheirPlaceIsNoticedAndKept() throws Exception {
    for (int draw = 0; draw < DRAWS; draw++) {
      Mishap mishap = Mishap.values()[draw % Mishap.values().length];
      Random random = new Random(SEED * 1000 + draw);
      Path here = Files.createDirectory(folder.resolve("draw-" + draw));
      one(here, mishap, random, mishap + ", seed " + SEED + ", draw " + draw);
    }
    assertThat(refused).isGreaterThan(DRAWS / 3);
  }

  private void one(Path here, Mishap mishap, Random random, String when) throws Exception {
    Path file = here.resolve("log.db");
    Path other = here.resolve("other.db");
    otherLog(other, random);
    LogFile log = LogFile.open(file, OpenMode.WRITER);
    Path copy = here.resolve("copy.db");
    int copied = random.nextInt(MOST / 2);
    int struck = copied + 700 + random.nextInt(MOST / 2);
    List<LogEntry> entries = new ArrayList<>(seconds(T0, MOST + 1000));
    byte[] there = {};
    String problem = "";
    for (int i = 0; i < entries.size(); i++) {
      if (i == copied) {
        log.writer().commit();
        log.backup(copy);
      }
      if (i == struck) {
        strike(mishap, file, mishap == Mishap.AN_OLDER_COPY_OVER_IT ? copy : other);
        there = Files.exists(file) ? Files.readAllBytes(file) : new byte[0];
      }
      log.writer().append("a", entries.get(i));
      try {
        log.writer().commitIfDue(i * 1000L);
      } catch (StorageFailure noticed) {
        assertThat(noticed.kind()).as(when).isEqualTo(StorageFailure.Kind.REFUSED);
        problem = String.valueOf(noticed.getMessage());
        assertThat(i - struck).as(when).isBetween(0, 30);
        break;
      }
    }
    close(log);
    if (!mishap.isLost) {
      assertThat(problem).as(when).isEmpty();
      assertThat(again(file, "a")).as(when).isEqualTo(entries);
      boolean isTail = mishap.name().startsWith("TAIL");
      assertThat(log.reports()).as(when).hasSize(isTail ? 1 : 0);
      return;
    }
    refused++;
    assertThat(problem).as(when).contains("while it was open");
    assertThat(log.reports().toString()).as(when).contains("Pack a: ").contains("lost");
    assertThat(log.reports().toString())
        .as(when)
        .contains(" lost: the log was ", "while it was open.")
        .doesNotContain("the disk");
    assertThat(Files.exists(file) ? Files.readAllBytes(file) : new byte[0])
        .as(when)
        .isEqualTo(there);
    if (mishap == Mishap.ANOTHER_LOG_OVER_IT || mishap == Mishap.ANOTHER_LOG_IN_ITS_PLACE) {
      assertThat(again(file, "z")).as(when).isEqualTo(again(other, "z"));
      assertThat(again(file, "a")).as(when).isEmpty();
    } else if (mishap == Mishap.AN_OLDER_COPY_OVER_IT) {
      // With the tail, which is the same log's; "lost" then said too much, and never too little.
      List<LogEntry> found = again(file, "a");
      assertThat(entries).as(when).containsAll(found);
      assertThat(found.subList(0, copied)).as(when).isEqualTo(entries.subList(0, copied));
    }
  }

  private static void close(LogFile log) {
    try {
      log.close();
    } catch (StorageFailure told) {
      assertThat(told.kind()).isEqualTo(StorageFailure.Kind.REFUSED);
    }
  }

  private static List<LogEntry> again(Path file, String pack) throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isEmpty();
      return all(log, pack);
    }
  }

  private static void otherLog(Path file, Random random) throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "z", seconds(T0 - 9_000_000, 100 + random.nextInt(8000)));
      log.writer().append("z", reading(T0, 3400));
    }
  }

  private static void strike(Mishap mishap, Path file, Path other) throws Exception {
    Path tail = file.resolveSibling("log.db-tail");
    switch (mishap) {
      case ANOTHER_LOG_OVER_IT, AN_OLDER_COPY_OVER_IT -> over(file, Files.readAllBytes(other));
      case A_TEXT_OVER_IT ->
          over(file, "a line of text\n".repeat(9000).getBytes(StandardCharsets.US_ASCII));
      case CUT_TO_NOTHING -> over(file, new byte[0]);
      case ANOTHER_LOG_IN_ITS_PLACE -> {
        Path copy = Files.copy(other, file.resolveSibling("new.db"));
        Files.move(copy, file, StandardCopyOption.REPLACE_EXISTING);
      }
      case REMOVED -> Files.delete(file);
      case TAIL_REMOVED -> Files.delete(tail);
      case TAIL_MOVED -> Files.move(tail, file.resolveSibling("elsewhere"));
      case TAIL_OF_ANOTHER_IN_ITS_PLACE -> {
        Path copy = Files.write(file.resolveSibling("new"), Files.readAllBytes(tail));
        Files.move(copy, tail, StandardCopyOption.REPLACE_EXISTING);
      }
      case NOTES_WRITTEN_BESIDE -> {
        try (Remarks remarks = Remarks.open(file, StoreSettings.DEFAULT)) {
          for (int i = 0; i < 50; i++) {
            remarks.add(new Note("a", T0, "me", "x".repeat(4000)));
          }
        }
      }
      default -> Files.copy(file, file.resolveSibling("mere-copy"));
    }
  }

  /** As {@code cp} does: the same file, other bytes. */
  private static void over(Path file, byte[] bytes) throws Exception {
    try (OutputStream out =
        Files.newOutputStream(
            file, StandardOpenOption.WRITE, StandardOpenOption.TRUNCATE_EXISTING)) {
      out.write(bytes);
    }
  }
}
