package org.cellherd.mqtt;

import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import org.cellherd.alert.AlertEvent;
import org.cellherd.json.JsonText;
import org.cellherd.mqtt.kept.Keeping;
import org.cellherd.mqtt.kept.StateSender;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Duty;
import org.cellherd.mqtt.link.Message;
import org.cellherd.mqtt.link.RetainedStates;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/** What is published for a site, in which order. Publisher's thread. */
final class SiteDuty implements Duty {

  private static final int MOST_STATES_IN_FLIGHT = 8;
  private static final System.Logger LOG = System.getLogger("org.cellherd.mqtt");

  /** Somebody floods what we listen to: telling goes before listening. */
  private static final long DEAF_NANOS = TimeUnit.HOURS.toNanos(1);

  private static final long SOON_NANOS = 20_000_000L;

  private final MqttSettings settings;
  private final PublisherParts parts;
  private final RetainedStates states;
  private final ReadingSlots readings;
  private final EventLine events;
  private final StatusBoard status;
  private final Keeping keeping;
  private final StateSender sender;
  private final Neighbours neighbours;
  private final Heartbeat heartbeat;
  private final List<Message> announcements;
  private @Nullable AlertEvent inFlight;
  private long eventSentNanos;
  private long deafUntilNanos;
  private boolean saidStopped;
  private boolean stoppedHeard;

  /** The receipt of the last word. */
  private static final Object STOPPED = new Object();

  /** The receipt of what needs none. */
  private static final Object ANY = new Object();

  SiteDuty(
      MqttSettings settings,
      PublisherParts parts,
      Handover handover,
      StatusBoard status,
      List<Message> announcements) {
    this.settings = settings;
    this.parts = parts;
    this.states = handover.states();
    this.readings = handover.readings();
    this.events = handover.events();
    this.status = status;
    this.announcements = announcements;
    this.deafUntilNanos = parts.time().monotonicNanos();
    this.keeping = handover.keeping();
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
    Message online = new Message(settings.topics().link(), "online", true);
    keeping.sent(online);
    connection.publish(online, ANY);
    if (now() - deafUntilNanos >= 0) {
      connection.subscribe(List.of(settings.topics().ack(), settings.topics().heartbeat()));
    }
    states.sendAllAgain();
    for (Message announcement : announcements) {
      if (announcement.retained()) {
        states.put(announcement.topic(), announcement.text());
      } else {
        connection.publish(announcement, ANY);
      }
    }
    events.restart();
    status.connected();
    parts.listener().connected();
  }

  @Override
  public long work(Connection connection) throws BrokerTrouble {
    takeReceipts(connection);
    takeReceived(connection);
    boolean eventWent = sendEvent(connection);
    boolean statesWent = sendStates(connection);
    if (states.isClean()) {
      keeping.save();
    }
    Optional<String> beat = heartbeat.due(now());
    if (beat.isPresent()) {
      neighbours.sent(beat.get());
      connection.publish(new Message(settings.topics().heartbeat(), beat.get(), false), ANY);
    }
    return eventWent && statesWent ? heartbeat.restNanos(now()) : SOON_NANOS;
  }

  @Override
  public void offline(BrokerTrouble trouble) {
    events.report();
    if (trouble.isFlood()) {
      deafUntilNanos = now() + DEAF_NANOS;
      LOG.log(System.Logger.Level.WARNING, "acknowledgements by MQTT are not heard for an hour");
    }
    status.disconnected(trouble.getMessage());
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
            connection.publish(new Message(settings.topics().link(), "stopped", true), STOPPED);
      }
    }
    if (stoppedHeard) {
      events.report();
    }
    return stoppedHeard;
  }

  private boolean sendEvent(Connection connection) throws BrokerTrouble {
    if (inFlight != null) {
      connection.expectAnswer(now() - eventSentNanos);
      return true;
    }
    Optional<AlertEvent> next = events.next();
    if (next.isEmpty()) {
      events.report();
      return true;
    }
    AlertEvent event = next.get();
    String topic = settings.topics().event(event.alert().key().pack());
    if (!connection.publish(new Message(topic, JsonText.of(event.facts()), false), event)) {
      return false;
    }
    inFlight = event;
    eventSentNanos = now();
    return true;
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

  private void takeReceipts(Connection connection) {
    for (Optional<Object> receipt = connection.nextReceipt();
        receipt.isPresent();
        receipt = connection.nextReceipt()) {
      take(receipt.get());
    }
  }

  private void take(Object receipt) {
    if (receipt instanceof AlertEvent event) {
      inFlight = null;
      events.acknowledged(event);
      status.delivered();
      parts.listener().delivered(event);
    } else if (receipt instanceof Message state) {
      sender.acknowledged(state, states);
    } else if (receipt == STOPPED) {
      stoppedHeard = true;
    }
  }

  private void takeReceived(Connection connection) {
    for (Optional<Message> message = connection.nextReceived();
        message.isPresent();
        message = connection.nextReceived()) {
      if (message.get().retained()) {
        continue;
      }
      if (message.get().topic().equals(settings.topics().heartbeat())) {
        neighbours.heard(message.get().text(), now()).ifPresent(this::warn);
      } else {
        AckText.of(message.get().text())
            .ifPresent(ack -> parts.acknowledger().acknowledge(ack.id(), ack.by()));
      }
    }
  }

  private void warn(String neighbour) {
    LOG.log(System.Logger.Level.WARNING, neighbour);
    parts.listener().neighbour(neighbour);
  }

  private long now() {
    return parts.time().monotonicNanos();
  }
}
