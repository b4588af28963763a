package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import org.cellherd.Await;
import org.cellherd.alert.Priority;
import org.cellherd.alert.news.MorningLine;
import org.cellherd.alert.news.Sink;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.Config;
import org.cellherd.app.verb.SimulatedSite;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The line of the day over simulated packs, told through a whole daemon. */
class MorningCallTest {

  @TempDir private Path folder;
  private final List<MorningLine> lines = new ArrayList<>();

  private final Sink listener =
      new Sink() {
        @Override
        public void morning(MorningLine line) {
          lines.add(line);
        }
      };

  private void run(String scenario, String at, List<String> program, long minutes)
      throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open(scenario), folder, null);
    Config config = at(site.config(), new Config.Morning(LocalTime.parse(at), program));
    Daemon.Parts parts = site.parts(new SystemTime(), List.of(listener), Function.identity());
    try (Daemon daemon = Daemon.open(config, parts)) {
      new FastForward(daemon, site.time()).runUntil(TimeUnit.MINUTES.toNanos(minutes), () -> {});
      if (!program.isEmpty()) {
        Await.until("the program ran", () -> Files.exists(folder.resolve("told")));
      }
    }
  }

  private static Config at(Config plain, Config.Morning morning) {
    return new Config(
        plain.file(),
        plain.site(),
        plain.zone(),
        plain.storeFile(),
        plain.store(),
        plain.packs(),
        plain.banks(),
        plain.mqtt(),
        plain.page(),
        plain.deadMan(),
        plain.commands(),
        Optional.of(morning),
        plain.forward());
  }

  @Test
  void healthyNightIsTwoSentences() throws Exception {
    run("healthy-night", "19:10", List.of(), 11);

    assertThat(lines).hasSize(1);
    assertThat(lines.get(0).text())
        .matches(
            "Field crate: Charging at 4\\.0 A, cells within \\d+ mV\\."
                + " No alert in the last 24 h\\.");
    assertThat(lines.get(0).facts().get("valid_s")).contains(93_600L);
  }

  @Test
  void nightWithARunawayCellNamesTheWorstAlert() throws Exception {
    run("runaway", "11:05", List.of(), 66);

    assertThat(lines.get(0).packs().get(0).worst()).contains(Priority.CRITICAL);
    assertThat(lines.get(0).text())
        .contains("alerts in the last 24 h", "the worst critical: Cell 2")
        .endsWith(".");
  }

  @Test
  void ownersProgramFindsTheTextInItsEnvironment() throws Exception {
    Path told = folder.resolve("told");
    String script =
        "printf %s \"$CELLHERD_TEXT\" > " + told + ".part && mv " + told + ".part " + told;

    run("healthy-night", "19:05", List.of("/bin/sh", "-c", script), 6);

    assertThat(told).hasContent(lines.get(0).text());
  }
}
