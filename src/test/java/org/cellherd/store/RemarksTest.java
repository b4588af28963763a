package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.T0;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.Callable;
import java.util.concurrent.CyclicBarrier;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.IntStream;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Several processes write and change notes at once, beside the daemon that holds the log. */
class RemarksTest {

  private static final int PROCESSES = 3;
  private static final int EACH = 25;
  private static final long SEED = Long.getLong("store.seed", 17);

  @TempDir private Path folder;

  @Test
  void notesOfProcessesAtOnceAreAllKeptEachUnderANumberOfItsOwn() throws Exception {
    Path file = folder.resolve("log.db");
    ExecutorService processes = Executors.newFixedThreadPool(PROCESSES);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      CyclicBarrier start = new CyclicBarrier(PROCESSES);
      List<Callable<List<Long>>> work = new ArrayList<>();
      for (int i = 0; i < PROCESSES; i++) {
        String by = "person " + i;
        work.add(
            () -> {
              start.await();
              return written(file, by);
            });
      }
      List<Long> numbers = new ArrayList<>();
      for (Future<List<Long>> done : processes.invokeAll(work)) {
        numbers.addAll(done.get());
      }

      assertThat(numbers)
          .containsExactlyInAnyOrderElementsOf(
              IntStream.rangeClosed(1, PROCESSES * EACH).mapToObj(Long::valueOf).toList());
      for (Note.Kept note : log.remarks().keptNotes("a", 0, Long.MAX_VALUE)) {
        assertThat(note.changes())
            .as("note %d, seed %d", note.id(), SEED)
            .allMatch(c -> c.by().equals(note.first().by()))
            .hasSizeLessThanOrEqualTo(1);
        assertThat(note.today().map(Note::text).orElse("withdrawn"))
            .isIn("first", "corrected", "withdrawn");
      }
    } finally {
      processes.shutdownNow();
    }
  }

  /** Each opens the log anew, as a command line does. */
  private static List<Long> written(Path file, String by) throws StorageFailure {
    Random random = new Random(SEED + by.hashCode());
    List<Long> numbers = new ArrayList<>();
    for (int i = 0; i < EACH; i++) {
      try (Remarks remarks = Remarks.open(file, StoreSettings.DEFAULT)) {
        long number = remarks.add(new Note("a", T0, by, "first"));
        numbers.add(number);
        if (random.nextBoolean()) {
          String text = random.nextBoolean() ? "corrected" : null;
          remarks.change(new Note.Change(number, T0 + i, by, text));
        }
      }
    }
    return numbers;
  }
}
