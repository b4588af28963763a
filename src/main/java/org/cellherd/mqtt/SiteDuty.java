package org.cellherd.mqtt;

import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.Collectors;
import org.cellherd.alert.AlertEvent;
import org.cellherd.json.JsonText;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Duty;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Received;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/** What is published for a site, in which order. Publisher's thread. */
final class SiteDuty implements Duty {

  private static final int MOST_STATES_IN_FLIGHT = 8;
  private static final System.Logger LOG = System.getLogger("org.cellherd.mqtt");

  /** Somebody floods what we listen to: telling goes before listening, longer each time. */
  private static final long SHORT_DEAF_NANOS = TimeUnit.MINUTES.toNanos(1);

  private static final long LONG_DEAF_NANOS = TimeUnit.HOURS.toNanos(1);

  private static final long SOON_NANOS = 20_000_000L;

  private final MqttSettings settings;
  private final MqttPublisher.Parts parts;
  private final RetainedStates states;
  private final ReadingSlots readings;
  private final EventLine events;
  private final AtomicBoolean isConnected;
  private final Keeping keeping;
  private final StateSender sender;
  private final Neighbours neighbours;
  private final Heartbeat heartbeat;
  private final AckDesk desk;
  private final List<Publication> announcements;
  private @Nullable AlertEvent inFlight;
  private long deafNanos = SHORT_DEAF_NANOS;
  private long deafUntilNanos;
  private boolean isDeaf;
  private boolean saidStopped;
  private boolean stoppedHeard;
  private boolean saidRefused;
  private boolean alertsLookedAt;

  /** The receipt of the last word. */
  private static final Object STOPPED = new Object();

  /** The receipt of a subscription that the broker refuses. */
  private static final Object REFUSED = new Object();

  /** The receipt of a subscription to alerts: what the broker keeps of them is on its way. */
  private static final Object ALERTS_ASKED = new Object();

  /** The receipt of what needs none. */
  private static final Object ANY = new Object();

  SiteDuty(
      MqttSettings settings,
      MqttPublisher.Parts parts,
      Handover handover,
      AtomicBoolean isConnected,
      List<Publication> announcements,
      Runnable wake) {
    this.settings = settings;
    this.parts = parts;
    this.states = handover.states();
    this.readings = handover.readings();
    this.events = handover.events();
    this.isConnected = isConnected;
    this.announcements = announcements;
    this.deafUntilNanos = parts.time().monotonicNanos();
    this.keeping = handover.keeping();
    this.desk = new AckDesk(settings.topics().ackAnswer(), parts.acknowledger(), wake);
    this.sender = new StateSender(keeping, MOST_STATES_IN_FLIGHT);
    this.neighbours =
        new Neighbours(
            settings.topics(),
            parts.packs().stream().map(PackPlan::id).collect(Collectors.toSet()));
    this.heartbeat = new Heartbeat(settings.heartbeatS(), parts, readings, events);
  }

  @Override
  public void online(Connection connection) throws BrokerTrouble {
    inFlight = null;
    sender.restart();
    Publication online = new Publication(settings.topics().link(), "online", true);
    keeping.sent(online);
    connection.publish(online, ANY);
    if (isDeaf) {
      // What the broker keeps there would come again with each subscription.
      connection.publish(new Publication(settings.topics().ack(), "", true), ANY);
      connection.publish(new Publication(settings.topics().heartbeat(), "", true), ANY);
    } else {
      listen(connection);
    }
    if (!alertsLookedAt) {
      connection.subscribe(alertFilters(), ALERTS_ASKED, ANY);
    }
    states.sendAllAgain();
    for (Publication announcement : announcements) {
      if (announcement.retained()) {
        states.put(announcement.topic(), announcement.text());
      } else {
        connection.publish(announcement, ANY);
      }
    }
    events.restart();
  }

  /**
   * An alert that began and ended around a kill while the disk took nothing is known to the broker
   * alone: so it is asked once a run what it keeps of these packs.
   */
  private List<String> alertFilters() {
    return parts.packs().stream().map(plan -> settings.topics().alerts(plan.id())).toList();
  }

  private void listen(Connection connection) throws BrokerTrouble {
    List<String> topics = List.of(settings.topics().ack(), settings.topics().heartbeat());
    connection.subscribe(topics, ANY, REFUSED);
  }

  @Override
  public void working() {
    isConnected.set(true);
    parts.listener().connected();
  }

  @Override
  public long work(Connection connection) throws BrokerTrouble {
    takeReceipts(connection);
    takeReceived(connection);
    if (isDeaf && now() - deafUntilNanos >= 0) {
      isDeaf = false;
      listen(connection);
    }
    boolean eventWent = sendEvent(connection);
    boolean statesWent = sendStates(connection) && desk.send(connection, ANY);
    if (states.isClean()) {
      keeping.save();
    }
    Optional<String> beat = heartbeat.due(now(), connection.oldestUnansweredNanos());
    if (beat.isPresent()) {
      neighbours.sent(beat.get());
      connection.publish(new Publication(settings.topics().heartbeat(), beat.get(), false), ANY);
    }
    return eventWent && statesWent ? heartbeat.restNanos(now()) : SOON_NANOS;
  }

  @Override
  public void offline(BrokerTrouble trouble) {
    events.report();
    if (trouble.isFlood()) {
      isDeaf = true;
      deafUntilNanos = now() + deafNanos;
      LOG.log(
          System.Logger.Level.WARNING,
          "acknowledgements by MQTT are not heard for %s min: somebody floods %s"
              .formatted(TimeUnit.NANOSECONDS.toMinutes(deafNanos), settings.topics().ack()));
      deafNanos = Math.min(2 * deafNanos, LONG_DEAF_NANOS);
    }
    isConnected.set(false);
    parts.listener().disconnected(trouble.getMessage());
  }

  @Override
  public boolean farewell(Connection connection, boolean hurry) throws BrokerTrouble {
    takeReceipts(connection);
    if (!saidStopped) {
      boolean eventWent = sendEvent(connection);
      boolean statesWent = sendStates(connection);
      if (hurry || (eventWent && statesWent && inFlight == null && sender.isIdle())) {
        saidStopped =
            connection.publish(new Publication(settings.topics().link(), "stopped", true), STOPPED);
      }
    }
    if (stoppedHeard) {
      events.report();
    }
    return stoppedHeard;
  }

  private boolean sendEvent(Connection connection) throws BrokerTrouble {
    if (inFlight != null) {
      return true;
    }
    Optional<AlertEvent> next = events.next();
    if (next.isEmpty()) {
      events.report();
      return true;
    }
    AlertEvent event = next.get();
    if (!connection.publish(publication(settings.topics(), event), event)) {
      return false;
    }
    inFlight = event;
    return true;
  }

  /** What the broker gets of an event. */
  static Publication publication(Topics topics, AlertEvent event) {
    String topic = topics.event(event.alert().key().pack());
    return new Publication(topic, JsonText.of(event.facts()), false);
  }

  private boolean sendStates(Connection connection) throws BrokerTrouble {
    for (Optional<ReadingSlots.Due> due = readings.take(now());
        due.isPresent();
        due = readings.take(now())) {
      String json = JsonText.of(ReadingFacts.of(due.get().reading(), settings.validS()));
      states.put(settings.topics().reading(due.get().pack()), json);
    }
    return sender.send(connection, states);
  }

  private void takeReceipts(Connection connection) throws BrokerTrouble {
    for (Object receipt : connection.takeReceipts()) {
      if (receipt == ALERTS_ASKED) {
        alertsLookedAt = true;
        connection.unsubscribe(alertFilters(), ANY);
      } else {
        take(receipt);
      }
    }
  }

  private void take(Object receipt) {
    if (receipt instanceof AlertEvent event) {
      inFlight = null;
      // The outbox last: what no longer waits there has been told to everybody.
      parts.listener().delivered(event);
      events.acknowledged(event);
    } else if (receipt instanceof Publication state) {
      sender.acknowledged(state, states);
    } else if (receipt == STOPPED) {
      stoppedHeard = true;
    } else if (receipt == REFUSED && !saidRefused) {
      saidRefused = true;
      LOG.log(
          System.Logger.Level.WARNING,
          settings
              .link()
              .refusal(settings.topics().ack(), "alerts cannot be acknowledged by MQTT"));
    }
  }

  private void takeReceived(Connection connection) {
    for (Optional<Received> next = connection.nextReceived();
        next.isPresent();
        next = connection.nextReceived()) {
      Received message = next.get();
      if (message.topic().equals(settings.topics().ack())) {
        desk.take(message);
      } else if (message.topic().equals(settings.topics().heartbeat()) && !message.retained()) {
        neighbours.heard(message.text(), now()).ifPresent(this::warn);
      } else if (!message.text().isEmpty()
          && settings.topics().isAlert(message.topic(), parts.packs())) {
        // Not every broker marks what it kept as retained.
        states.emptyUnlessHeld(message.topic());
      }
    }
    desk.dropped(connection.takeDropped());
  }

  private void warn(String neighbour) {
    LOG.log(System.Logger.Level.WARNING, neighbour);
    parts.listener().neighbour(neighbour);
  }

  private long now() {
    return parts.time().monotonicNanos();
  }
}
