package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.cellherd.Await;
import org.cellherd.ComputerTime;
import org.cellherd.app.ExitCode;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.fleet.Gatherer;
import org.cellherd.fleet.HeldLog;
import org.cellherd.fleet.TestCentre;
import org.cellherd.forward.ForwardSettings;
import org.cellherd.forward.Forwarder;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.TestBroker;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Results made again at the centre, by the command itself, against those that the sites made. */
class FleetRefoldTest {

  private static final String RESULTS =
      "SELECT string_agg(concat_ws('|', site, pack, name, from_ms, to_ms, sentence, facts), chr(10)"
          + " ORDER BY site, pack, name, to_ms, from_ms) FROM cellherd.finding";

  private static final Map<String, String> NIGHTS =
      new TreeMap<>(Map.of("hill", "first-night", "ridge", "healthy-night", "shore", "shelf-rest"));

  @TempDir private Path folder;

  private static LinkSettings link(BrokerUrl url, String name) {
    return new LinkSettings(
        url, name, Optional.empty(), Optional.empty(), LinkSettings.Timing.DEFAULT, 2_000);
  }

  /** Writes a log that an older program could have written, and hands it over. */
  private void forward(String site, BrokerUrl broker) throws Exception {
    Path log = folder.resolve(site + ".db");
    Said.whenDone(List.of("simulate", NIGHTS.get(site), "--log", log.toString()));
    Path plan = folder.resolve(site + ".toml");
    Facts older =
        Facts.of()
            .put("plan_text", Files.readString(plan))
            .put("folds", Facts.of().put("balance", 0).build())
            .build();
    Map<PackPlan, Facts> plans = new TreeMap<>((a, b) -> a.id().compareTo(b.id()));
    ConfigFiles.loadPlans(plan).packs().forEach(p -> plans.put(p.plan(), older));
    ForwardSettings settings =
        new ForwardSettings(
            new Lane(ForwardSettings.ROOT, site), link(broker, site), 10_000, 2_000, false);
    try (LogFile file = LogFile.open(log, OpenMode.WRITER);
        Forwarder forwarder =
            Forwarder.start(settings, file, plans, List.of(), new ComputerTime())) {
      Await.until("all of " + site + " is held", () -> isHeld(file));
      assertThat(forwarder).isNotNull();
    }
  }

  private static boolean isHeld(LogFile file) {
    try {
      return file.journal().waiting() == 0;
    } catch (StorageFailure e) {
      throw new IllegalStateException(e);
    }
  }

  @Test
  void resultsMadeAtTheCentreAreThoseOfTheSites() throws Exception {
    TestCentre centre = TestCentre.fresh();
    try (TestBroker broker = TestBroker.open();
        Gatherer gatherer =
            Gatherer.start(
                new Gatherer.Settings(
                    ForwardSettings.ROOT, link(broker.url(), "gatherer"), centre.address()),
                new ComputerTime())) {
      for (String site : NIGHTS.keySet()) {
        forward(site, broker.url());
      }
      Await.until(
          "all states are there",
          () -> centre.text("SELECT count(*) FROM cellherd.pack_now").equals("" + NIGHTS.size()));
      assertThat(gatherer.stored()).isPositive();
    }
    String ofSites = centre.text(RESULTS);
    assertThat(ofSites).contains("hill|crate|balance|", "Balanced since");
    centre.run(
        "UPDATE cellherd.finding SET sentence = 'older', facts = '{}';"
            + " INSERT INTO cellherd.finding SELECT site, log, pack, name, from_ms - 1, to_ms,"
            + " 'gone', '{}' FROM cellherd.finding");
    centre.run("UPDATE cellherd.parcel SET body = '\\x00' WHERE site = 'ridge' AND kind = 'block'");
    String[] refold = {"gather", "--refold", "--store", centre.url("postgres")};

    Said said = Said.by(refold);

    assertThat(said.code()).isEqualTo(ExitCode.STORE);
    assertThat(said.out())
        .startsWith("Packs to bring up to date: 3.")
        .containsPattern("hill/crate: \\d+ results; \\d left")
        .containsPattern("ridge/crate: cannot be analysed: .+; \\d left");
    assertThat(lines(centre.text(RESULTS))).isEqualTo(lines(ofSites));
    assertThat(Said.by(refold).out().strip()).isEqualTo("Packs to bring up to date: 0.");
  }

  /** Which nobody at the centre can mend: it says so, and names no file of its own making. */
  @Test
  void aPlanOfAnotherVersionIsRefusedInOneLine() throws Exception {
    Path log = folder.resolve("log.db");
    Said.whenDone(List.of("simulate", "healthy-night", "--log", log.toString()));
    String plan = Files.readString(folder.resolve("log.toml")) + "shape = \"blade\"\nhue = 3\n";
    TestCentre centre = TestCentre.fresh();
    try (LogFile file = LogFile.open(log, OpenMode.WRITER)) {
      HeldLog.hold(centre, "hill", file, Map.of("crate", plan), parcel -> true);
    }
    String[] store = {"--store", centre.url("postgres")};
    String why = "its plan is of another version of cellherd, which this one, ";

    Said asked = Said.by("balance", store[0], store[1], "--site", "hill", "--pack", "crate");
    Said refold = Said.by("gather", "--refold", store[0], store[1]);

    assertThat(asked.code()).isEqualTo(ExitCode.STORE);
    assertThat(asked.err().lines()).hasSize(1);
    assertThat(asked.err())
        .contains("site \"hill\"", "pack \"crate\"", why, "shape: unknown key")
        .doesNotContain("/");
    assertThat(refold.code()).isEqualTo(ExitCode.STORE);
    assertThat(refold.out()).contains("hill/crate: cannot be analysed: " + why);
  }

  private static List<String> lines(String results) {
    return results.lines().filter(line -> !line.startsWith("ridge|")).toList();
  }
}
