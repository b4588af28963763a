package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** What a program says between the signal and its end: nobody hears it otherwise. */
class LastWordsTest {

  private static final Pattern PORT = Pattern.compile("tcp:127\\.0\\.0\\.1:(\\d+)");

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
    String scenario =
        Scenarios.text("first-night").orElseThrow().replaceFirst("hours = \\d+", "hours = 240");
    Files.writeString(folder.resolve("night.toml"), scenario);
    try (Program board = Program.start(folder, "simulate", "night.toml", "--tcp", "0")) {
      board.awaitText("tcp:127.0.0.1:");
      Matcher port = PORT.matcher(board.text());
      assertThat(port.find()).isTrue();
      Files.writeString(folder.resolve("cellherd.toml"), config(port.group(1)));
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

  private static String config(String port) {
    return """
        site = "bench"
        [store]
        file = "log.db"
        at_risk_s = 1
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 6
        rated_ah = 27
        [pack.line]
        spec = "sorrel-16"
        link = "tcp:127.0.0.1:%s"
        poll_s = 0.2
        """
        .formatted(port);
  }
}
