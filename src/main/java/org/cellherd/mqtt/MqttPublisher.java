package org.cellherd.mqtt;

import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Supplier;
import org.cellherd.alert.Acknowledger;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.news.MorningLine;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.news.Sink;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.analysis.Finding;
import org.cellherd.json.JsonText;
import org.cellherd.mqtt.link.BrokerClient;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Wakeup;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.TimeSource;

/**
 * Publishes a site's states and alerts. All methods may be called from any thread and return at
 * once: the connection lives on a thread of its own, which outlasts any outage of the broker.
 */
public final class MqttPublisher implements Sink, AutoCloseable {

  private final MqttSettings settings;
  private final Parts parts;
  private final Wakeup wakeup = new Wakeup();
  private final Handover handover;
  private final AtomicBoolean isConnected = new AtomicBoolean();
  private final BrokerClient client;
  private final Optional<HomiePublisher> homie;
  private final List<Publication> announced;

  private MqttPublisher(MqttSettings settings, Parts parts) {
    this.settings = settings;
    this.parts = parts;
    this.handover =
        new Handover(
            new RetainedStates(),
            new ReadingSlots(settings.publishEveryS()),
            new EventLine(parts.outbox()),
            new Keeping(parts.memory()));
    List<Publication> announcements = AnnouncePlan.of(settings, parts.packs()).messages();
    this.client =
        new BrokerClient(
            "cellherd-mqtt",
            settings.link(),
            new Publication(settings.topics().link(), "lost", true),
            new SiteDuty(settings, parts, handover, isConnected, announcements, wakeup::signal),
            parts.time(),
            wakeup);
    this.homie = settings.homie().map(domain -> homie(domain, settings, parts, handover.keeping()));
    this.announced = announcements;
  }

  private static HomiePublisher homie(
      String domain, MqttSettings settings, Parts parts, Keeping keeping) {
    return new HomiePublisher(
        domain,
        settings.site(),
        settings.link().withClientId(settings.link().clientId() + "--homie"),
        settings.publishEveryS(),
        parts.packs(),
        keeping,
        parts.time());
  }

  /**
   * Begins to publish.
   *
   * @param standing alerts that stand now; whatever else an earlier run left retained is emptied
   */
  public static MqttPublisher start(MqttSettings settings, Parts parts, List<Alert> standing) {
    MqttPublisher publisher = new MqttPublisher(settings, parts);
    for (Alert alert : standing) {
      if (alert.state() != AlertState.NORMAL && alert.state() != AlertState.PENDING) {
        publisher.standing(alert);
      }
    }
    publisher.emptyLeftovers();
    publisher.client.start();
    publisher.homie.ifPresent(HomiePublisher::start);
    return publisher;
  }

  /** Alerts that are over, packs, devices and announcements that are no more: only our own. */
  private void emptyLeftovers() {
    Set<String> filled = settings.topics().standing(parts.packs());
    announced.stream().filter(Publication::retained).map(Publication::topic).forEach(filled::add);
    homie.ifPresent(devices -> filled.addAll(devices.topics()));
    for (String topic : handover.keeping().leftovers(filled, toldWithoutADisk())) {
      if (homie.isPresent() && homie.get().owns(topic)) {
        homie.get().empty(topic);
      } else {
        handover.states().emptyUnlessHeld(topic);
      }
    }
  }

  /**
   * That the disk takes nothing is told while neither the log nor the list of what the broker keeps
   * can be written: after a loss of power nothing here knows of it.
   */
  private Set<String> toldWithoutADisk() {
    Set<String> untold = new LinkedHashSet<>();
    for (PackPlan pack : parts.packs()) {
      AlertKey disk = new AlertKey(pack.id(), StoreFault.ID, 0);
      untold.add(settings.topics().alert(disk));
      homie.ifPresent(devices -> untold.add(devices.topic(disk)));
    }
    return untold;
  }

  /** A new reading; readings in between may be skipped. */
  @Override
  public void reading(String pack, Reading reading) {
    homie.ifPresent(devices -> devices.reading(pack, reading));
    if (handover.readings().put(pack, reading, parts.time().monotonicNanos())) {
      wakeup.signal();
    }
  }

  @Override
  public void state(String pack, PackState state) {
    put(settings.topics().state(pack), JsonText.of(state.facts()));
    homie.ifPresent(devices -> devices.state(pack, state.word().word()));
  }

  @Override
  public void summary(String pack, PackSummary summary) {
    put(settings.topics().summary(pack), JsonText.of(summary.facts()));
    homie.ifPresent(devices -> devices.summary(pack, summary.sentence()));
  }

  @Override
  public void morning(MorningLine line) {
    put(settings.topics().morning(), JsonText.of(line.facts()));
  }

  @Override
  public void finding(String pack, Finding finding) {
    put(settings.topics().finding(pack, finding.name()), JsonText.of(facts(finding)));
  }

  /**
   * An event as it happens, at the same time as it is committed: never skipped. The alert's own
   * topic follows it.
   */
  @Override
  public void event(AlertEvent event) {
    hand(event, handover);
    if (homie.isPresent() && event.change() != AlertEvent.Change.NOTICE) {
      homie.get().alert(event.alert(), event.stands());
    }
    wakeup.signal();
  }

  /** Does with an invented event what is done with a true one, up to what the broker would get. */
  public void rehearse(AlertEvent event) {
    Handover nobody =
        new Handover(
            new RetainedStates(),
            new ReadingSlots(settings.publishEveryS()),
            new EventLine(Outbox.NONE),
            handover.keeping());
    hand(event, nobody);
    nobody.events().next().ifPresent(next -> SiteDuty.publication(settings.topics(), next));
    nobody.events().acknowledged(event);
  }

  private void hand(AlertEvent event, Handover to) {
    to.events().fresh(event);
    String topic = settings.topics().alert(event.alert().key());
    if (event.stands()) {
      to.states().putUrgently(topic, JsonText.of(event.alert().facts()));
    } else if (event.change() == AlertEvent.Change.CLEARED) {
      to.states().removeUrgently(topic);
    }
  }

  @Override
  public void standing(Alert alert) {
    handover.states().putUrgently(settings.topics().alert(alert.key()), JsonText.of(alert.facts()));
    homie.ifPresent(devices -> devices.alert(alert, true));
    wakeup.signal();
  }

  public boolean isConnected() {
    return isConnected.get();
  }

  /** Events not yet acknowledged, as far as they are in memory. */
  public int eventsInMemory() {
    return handover.events().inMemory();
  }

  /** Publishes {@code stopped} and leaves the broker; at most 2 s. */
  @Override
  public void close() {
    Optional<Thread> other = homie.map(devices -> new Thread(devices::close, "cellherd-leave"));
    other.ifPresent(Thread::start);
    client.close();
    other.ifPresent(MqttPublisher::join);
    handover.keeping().save();
  }

  private static void join(Thread thread) {
    try {
      thread.join();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void put(String topic, String json) {
    handover.states().put(topic, json);
    wakeup.signal();
  }

  private static Facts facts(Finding finding) {
    return Facts.of()
        .put("finding", finding.name().word())
        .putTime("from", finding.fromMs())
        .putTime("to", finding.toMs())
        .put("text", finding.sentence())
        .put("facts", finding.facts())
        .build();
  }

  /**
   * What a publisher works with.
   *
   * @param packs every pack of the site
   * @param outbox events that wait
   * @param acknowledger takes acknowledgements that come in
   * @param memory what brokers keep for us, remembered from run to run
   * @param time the computer's own clock, also when the readings come from a faster one
   * @param diskFreeMb free space where the log lies; empty when it cannot be known
   * @param listener hears how it goes
   */
  public record Parts(
      List<PackPlan> packs,
      Outbox outbox,
      Acknowledger acknowledger,
      BrokerMemory memory,
      TimeSource time,
      Supplier<OptionalLong> diskFreeMb,
      MqttListener listener) {
    public Parts {
      packs = List.copyOf(packs);
    }
  }
}
