package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.seconds;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Whole pages of a log are overwritten: where SQLite gives up, it is said how far it came. */
class DamagedReplayTest {
  private static final int PAGE = StoreSettings.DEFAULT.pageBytes();
  private static final int DRAWS = Integer.getInteger("store.draws", 60);

  @TempDir Path folder;

  @Test
  void whereTheFileGivesNoMoreTheLastReadingIsNamed() throws Exception {
    Path whole = folder.resolve("whole.db");
    try (LogFile log = LogFile.open(whole, OpenMode.WRITER)) {
      append(log, "a", List.of(new SessionStart(T0, 1, true, true)));
      for (int hour = 0; hour < 96; hour++) {
        append(log, "a", seconds(T0 + hour * HOUR, 600));
      }
    }
    byte[] bytes = Files.readAllBytes(whole);
    int ended = 0;
    int begun = 0;
    for (int draw = 0; draw < DRAWS; draw++) {
      Random random = new Random(draw);
      byte[] damaged = bytes.clone();
      byte[] noise = new byte[PAGE];
      random.nextBytes(noise);
      int page = 1 + random.nextInt(bytes.length / PAGE - 1);
      System.arraycopy(noise, 0, damaged, page * PAGE, PAGE);
      Path file = folder.resolve("draw-" + draw + ".db");
      Files.write(file, damaged);
      List<LogEntry> given = new ArrayList<>();
      try (LogFile log = LogFile.open(file, OpenMode.READER)) {
        String said = failure(log, given);
        List<LogEntry> readings = given.stream().filter(e -> e instanceof Reading).toList();
        ended += said.isEmpty() ? 0 : 1;
        begun += said.isEmpty() || readings.isEmpty() ? 0 : 1;
        if (!said.isEmpty()) {
          assertThat(said).as("draw %d, page %d", draw, page).contains(words(readings));
        }
      } catch (StorageFailure notOpened) {
        assertThat(given).isEmpty();
      }
      Files.delete(file);
    }
    System.out.printf("%d of %d replays ended early, %d amid readings%n", ended, DRAWS, begun);
    assertThat(begun).isPositive();
  }

  private static String failure(LogFile log, List<LogEntry> given) {
    try {
      log.history().replay("a", Long.MIN_VALUE, Long.MAX_VALUE, given::add);
      return "";
    } catch (StorageFailure failure) {
      assertThat(failure.kind()).isEqualTo(StorageFailure.Kind.DAMAGED);
      return String.valueOf(failure.getMessage());
    }
  }

  private static String words(List<LogEntry> readings) {
    return readings.isEmpty()
        ? "no reading could be read"
        : readings.size()
            + " readings up to "
            + Instant.ofEpochMilli(readings.get(readings.size() - 1).timeMs())
                .toString()
                .replace('T', ' ')
                .replace("Z", " UTC could be read, none after");
  }
}
