package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** What a program says between the signal and its end: nobody hears it otherwise. */
class LastWordsTest {

  private static @Nullable FileChannel second;

  @TempDir private Path folder;

  @AfterAll
  static void releaseTheLock() throws Exception {
    if (second != null) {
      second.close();
    }
  }

  /** What the owner does to the log while it is open: nothing, or what keeps it from being used. */
  enum Deed {
    NONE("") {
      @Override
      void to(Path log) {
        // It ends in order.
      }
    },
    MOVED("was moved, removed or replaced while it was open") {
      @Override
      void to(Path log) throws Exception {
        Files.move(log, log.resolveSibling("elsewhere.db"));
      }
    },
    REPLACED("was moved, removed or replaced while it was open") {
      @Override
      void to(Path log) throws Exception {
        MOVED.to(log);
        Files.copy(log.resolveSibling("elsewhere.db"), log);
      }
    },
    OVERWRITTEN("was overwritten while it was open") {
      @Override
      void to(Path log) throws Exception {
        Files.write(log, new byte[4096], StandardOpenOption.WRITE);
      }
    },
    TAKEN("is written by another cellherd") {
      @Override
      void to(Path log) throws Exception {
        Path lock = log.resolveSibling("log.db.lock");
        Files.delete(lock);
        // Held by this test as by a second program.
        second = FileChannel.open(lock, StandardOpenOption.CREATE, StandardOpenOption.WRITE);
        assertThat(second.lock().isValid()).isTrue();
      }
    };

    /** What each sentence about a loss gives as its cause. */
    final String cause;

    Deed(String cause) {
      this.cause = cause;
    }

    abstract void to(Path log) throws Exception;
  }

  @ParameterizedTest
  @EnumSource(Deed.class)
  void saysThatItStopsAndWhichReadingsItTakesAlong(Deed deed) throws Exception {
    try (Program board = OneBoard.start(folder, "first-night")) {
      OneBoard.config(folder, OneBoard.link(board), "");
      try (Program daemon = Program.start(folder, "run")) {
        daemon.awaitText(": live");
        Path log = folder.resolve("log.db");
        daemon.await(() -> Files.exists(log), "the log");
        deed.to(log);
        boolean isRefused = deed != Deed.NONE;
        if (isRefused) {
          daemon.awaitText("store raised");
        }

        assertThat(daemon.terminate()).isEqualTo(143);

        List<String> last =
            daemon.text().lines().dropWhile(line -> !line.contains("stopping")).toList();
        assertThat(last).as(daemon.text()).isNotEmpty();
        assertThat(last.stream().anyMatch(l -> l.matches("(?i).*\\d+ readings? .*")))
            .as(deed.name().toLowerCase(Locale.ROOT) + ": " + last)
            .isEqualTo(isRefused);
        assertThat(last.stream().filter(l -> l.contains(" lost: ")))
            .allMatch(l -> l.contains(" lost: the log " + deed.cause));
      }
    }
  }
}
