package org.cellherd.mqtt;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.concurrent.CopyOnWriteArrayList;
import org.cellherd.ComputerTime;
import org.cellherd.alert.Acknowledger;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.cellherd.pack.TimeSource;

/** A small site with one pack, and what its publisher needs. */
final class TestSite {

  /** Quick to try again, patient with a broker that starves on a loaded computer. */
  static final LinkSettings.Timing PATIENT = new LinkSettings.Timing(60, 60_000, 60_000, 20, 100);

  /** Gives up soon on a broker that does not answer: for tests of exactly that. */
  static final LinkSettings.Timing QUICK = new LinkSettings.Timing(5, 3_000, 1_000, 20, 100);

  static final PackPlan SHED =
      PackPlan.builder("shed", Chemistry.LFP, 4, 6, 27_000).name("Shed \"A\"").build();
  private static final long START_MS = 1_767_225_600_000L;

  final MemoryOutbox outbox = new MemoryOutbox();
  final RememberedTopics memory = new RememberedTopics();
  TimeSource time = new ComputerTime();
  List<PackPlan> packs = List.of(SHED);
  final List<String> acknowledged = new CopyOnWriteArrayList<>();
  final List<String> standing = new CopyOnWriteArrayList<>();
  final List<String> delivered = new CopyOnWriteArrayList<>();
  final List<String> neighbours = new CopyOnWriteArrayList<>();
  final List<String> troubles = new CopyOnWriteArrayList<>();

  MqttSettings.Builder settings(BrokerUrl url) {
    return MqttSettings.builder(url, "home").timing(PATIENT).publishEveryS(1);
  }

  MqttPublisher publisher(BrokerUrl url, Alert... standing) {
    return publisher(settings(url).build(), standing);
  }

  MqttPublisher publisher(MqttSettings settings, Alert... standing) {
    return MqttPublisher.start(settings, parts(), List.of(standing));
  }

  MqttPublisher.Parts parts() {
    return new MqttPublisher.Parts(
        packs,
        outbox,
        (id, by, answer) -> {
          acknowledged.add(id + " by " + by);
          answer.accept(standing.contains(id) ? Acknowledger.Seen.DONE : Acknowledger.Seen.UNKNOWN);
        },
        memory,
        time,
        () -> OptionalLong.of(1_234),
        new MqttListener() {
          @Override
          public void delivered(AlertEvent event) {
            delivered.add(event.id());
          }

          @Override
          public void neighbour(String warning) {
            neighbours.add(warning);
          }

          @Override
          public void disconnected(String trouble) {
            troubles.add(trouble);
          }
        });
  }

  static Alert alert(RuleId rule, int cell, AlertState state) {
    AlertKey key = new AlertKey("shed", rule, cell);
    return new Alert(
        "shed-" + key.topic() + "-1",
        key,
        state,
        Priority.CRITICAL,
        START_MS,
        START_MS,
        3_661,
        3_650,
        "mV",
        "Cell " + cell + " is at 3.661 V.",
        "Lower the charge voltage.",
        Facts.NONE,
        Optional.empty(),
        true);
  }

  /** An alert that concerns no single pack. */
  static AlertEvent siteEvent(String id, AlertEvent.Change change) {
    Alert store = alert(StoreFault.ID, 0, AlertState.ACTIVE);
    return new AlertEvent(
        id,
        change,
        new Alert(
            "store-1",
            new AlertKey("", StoreFault.ID, 0),
            AlertState.ACTIVE,
            Priority.WARNING,
            store.sinceMs(),
            store.timeMs(),
            0,
            0,
            "",
            "The log cannot be written.",
            "Look at the disk.",
            Facts.NONE,
            Optional.empty(),
            true));
  }

  static PackSummary summary(String sentence) {
    return new PackSummary(
        0,
        sentence,
        Optional.empty(),
        0,
        OptionalDouble.empty(),
        Optional.empty(),
        Optional.empty(),
        OptionalDouble.empty(),
        Optional.empty());
  }

  /** All that the devices have a property for. */
  static Reading fullReading() {
    return Reading.at(START_MS)
        .cells(CellVoltages.ofMv(3_300, 3_301, 3_310, 3_299))
        .currentMa(-1_500)
        .packMv(13_240)
        .socTenthPct(715)
        .temperatures(Temperatures.ofTenthC(-35, 180))
        .build();
  }

  static AlertEvent event(String id, AlertEvent.Change change) {
    return new AlertEvent(id, change, alert(CellHigh.ID, 3, AlertState.ACTIVE));
  }

  /** Numbered events that change no retained topic. */
  static List<AlertEvent> notices(int count) {
    List<AlertEvent> events = new ArrayList<>();
    for (int i = 1; i <= count; i++) {
      events.add(event("e-" + i, AlertEvent.Change.NOTICE));
    }
    return events;
  }

  static Reading reading(int cellThreeMv) {
    return Reading.at(START_MS)
        .cells(CellVoltages.ofMv(3_300, 3_301, cellThreeMv, 3_299))
        .currentMa(1_500)
        .packMv(13_240)
        .build();
  }
}
