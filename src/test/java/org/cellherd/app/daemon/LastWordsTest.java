package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** What a program says between the signal and its end: nobody hears it otherwise. */
class LastWordsTest {

  @TempDir private Path folder;

  /** What the owner does to the log while it is open: nothing, or what keeps it from being used. */
  enum Deed {
    NONE {
      @Override
      void to(Path log) {
        // It ends in order.
      }
    },
    MOVED {
      @Override
      void to(Path log) throws Exception {
        Files.move(log, log.resolveSibling("elsewhere.db"));
      }
    },
    REPLACED {
      @Override
      void to(Path log) throws Exception {
        MOVED.to(log);
        Files.copy(log.resolveSibling("elsewhere.db"), log);
      }
    };

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
      }
    }
  }
}
