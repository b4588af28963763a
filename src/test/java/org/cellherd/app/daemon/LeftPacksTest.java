package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentSkipListMap;
import java.util.function.BooleanSupplier;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.cellherd.Await;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.BankShare;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.rule.WrongBoard;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.verb.SimulatedSite;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.cellherd.mqtt.trial.TopicListener;
import org.cellherd.pack.Facts;
import org.cellherd.sim.Scenarios;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Packs leave the config between two runs, by drawn lot: nothing of them is left active. */
class LeftPacksTest {

  private static final RuleId[] RULES = {
    CellHigh.ID, CellLow.ID, Rules.id("silent"), WrongBoard.ID, BankShare.ID
  };

  @TempDir private Path folder;

  private final HeardEvents heard = new HeardEvents();
  private final List<AlertEvent> events = heard.all;
  private final Map<String, String> retained = new ConcurrentSkipListMap<>();

  @Test
  void whatIsNoLongerWatchedEndsInTheLogAndAtTheBroker() throws Exception {
    try (InProcessBroker broker = InProcessBroker.start();
        TopicListener ear = TopicListener.start(broker.url(), "cellherd/demo/#", this::hear)) {
      for (int seed = 1; seed <= 4; seed++) {
        try {
          leave(seed, broker);
        } catch (AssertionError failed) {
          throw new AssertionError("seed " + seed, failed);
        }
        ear.awaitQuiet(Duration.ofMillis(50), Duration.ofSeconds(5));
        retained.clear();
      }
    }
  }

  private void hear(String topic, String payload, boolean isRetained) {
    if (payload.isEmpty()) {
      retained.remove(topic);
    } else if (topic.contains("/alert/")) {
      retained.put(topic, payload);
    }
  }

  private void leave(int seed, InProcessBroker broker) throws Exception {
    Random drawn = new Random(seed);
    SimulatedSite site =
        new SimulatedSite(Scenarios.open("two-packs"), folder.resolve("" + seed), broker.url());
    Config both = site.config();
    Map<String, Alert> before = new TreeMap<>();
    for (PackConfig pack : both.packs()) {
      draw(pack.plan().id(), drawn).forEach(a -> before.put(a.id(), a));
    }
    PackConfig stays = both.packs().get(drawn.nextInt(2));
    String stayed = stays.plan().id();
    commit(both.storeFile(), before.values());

    // Of the bank nothing is configured: its alerts have nobody from the first start on.
    runOnce(both, site, () -> countOf("") == watched(before));
    events.clear();
    runOnce(with(both, List.of(stays)), site, () -> countOf("") == countOf(stayed));

    List<String> ended =
        before.values().stream()
            .filter(a -> !a.key().rule().equals(BankShare.ID))
            .filter(a -> !a.key().pack().equals(stayed))
            .map(Alert::id)
            .toList();
    assertThat(cleared()).containsExactlyInAnyOrderElementsOf(ended);
    try (LogFile log = LogFile.open(both.storeFile(), OpenMode.READER)) {
      assertThat(log.alertLog().standing()).allMatch(a -> a.key().pack().equals(stayed));
      assertThat(log.alertLog().standing()).noneMatch(a -> a.key().rule().equals(BankShare.ID));
    }
  }

  private List<String> cleared() {
    return events.stream()
        .filter(e -> e.change() == Change.CLEARED)
        .filter(e -> e.alert().text().startsWith("No longer watched"))
        .map(e -> e.alert().id())
        .collect(Collectors.toList());
  }

  private long countOf(String pack) {
    return retained.keySet().stream().filter(t -> t.contains(pack + "/alert/")).count();
  }

  private static long watched(Map<String, Alert> alerts) {
    return alerts.values().stream().filter(a -> !a.key().rule().equals(BankShare.ID)).count();
  }

  private void runOnce(Config config, SimulatedSite site, BooleanSupplier atTheBroker) {
    Daemon.Parts parts = site.parts(new SystemTime(), List.of(heard), Function.identity());
    try (Daemon daemon = Daemon.open(config, parts)) {
      assertThat(daemon.pollers()).isNotEmpty();
      Await.until("the broker has what is active", Duration.ofSeconds(20), atTheBroker);
    }
  }

  private static void commit(Path file, Iterable<Alert> alerts) throws Exception {
    List<AlertEvent> raised = new ArrayList<>();
    alerts.forEach(a -> raised.add(new AlertEvent(a.id() + ":raised-1.1", Change.RAISED, a)));
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      log.alertLog().commit(raised);
    }
  }

  private static List<Alert> draw(String pack, Random drawn) {
    List<Alert> alerts = new ArrayList<>();
    for (RuleId rule : RULES) {
      if (rule.equals(CellHigh.ID) || drawn.nextBoolean()) {
        boolean isOfCell = rule.equals(CellHigh.ID) || rule.equals(CellLow.ID);
        alerts.add(alert(new AlertKey(pack, rule, isOfCell ? 1 + drawn.nextInt(4) : 0), drawn));
      }
    }
    return alerts;
  }

  private static Alert alert(AlertKey key, Random drawn) {
    AlertState[] states = {AlertState.ACTIVE, AlertState.ACKNOWLEDGED, AlertState.RETURNED};
    AlertState state = states[drawn.nextInt(states.length)];
    return new Alert(
        key.pack() + "." + key.topic().replace('/', '.') + ".1-1",
        key,
        state,
        Priority.CRITICAL,
        1_700_000_000_000L,
        1_700_000_000_000L,
        Double.NaN,
        Double.NaN,
        "",
        "Something is wrong, since 10:00.",
        "Look at it.",
        Facts.NONE,
        state == AlertState.ACKNOWLEDGED ? Optional.of("me") : Optional.empty(),
        true);
  }

  private static Config with(Config plain, List<PackConfig> packs) {
    return new Config(
        plain.file(),
        plain.site(),
        plain.zone(),
        plain.storeFile(),
        plain.store(),
        packs,
        plain.banks(),
        plain.mqtt(),
        plain.page(),
        plain.deadMan(),
        plain.commands(),
        plain.morning(),
        plain.forward());
  }
}
