package org.cellherd.mqtt.homie;

import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Duty;
import org.cellherd.mqtt.link.Message;
import org.cellherd.mqtt.link.RetainedStates;
import org.cellherd.pack.PackPlan;

/**
 * The life cycle of the devices: {@code init}, description, properties, {@code ready}; {@code
 * disconnected} at the end. {@code lost} is the root device's will. Publisher's thread.
 */
final class HomieDuty implements Duty {

  private static final int MOST_IN_FLIGHT = 16;
  private static final long SOON_NANOS = TimeUnit.MILLISECONDS.toNanos(20);
  private static final long REST_NANOS = TimeUnit.SECONDS.toNanos(60);
  private static final Object GOODBYE = new Object();

  private final HomieTopics topics;
  private final List<PackPlan> packs;
  private final RetainedStates values;
  private final HomieLife lives;
  private final long version;
  private final RetainedStates life = new RetainedStates();
  private int inFlight;
  private boolean ready;
  private int goodbyes;

  HomieDuty(HomieTopics topics, List<PackPlan> packs, HomieState state, long version) {
    this.topics = topics;
    this.packs = packs;
    this.values = state.values();
    this.lives = state.lives();
    this.version = version;
  }

  @Override
  public void online(Connection connection) throws BrokerTrouble {
    inFlight = 0;
    ready = false;
    sayInit();
    life.put(
        topics.attribute(topics.root(), "$description"),
        HomieDescription.root(topics, packs, version));
    for (PackPlan plan : packs) {
      life.put(
          topics.attribute(topics.device(plan.id()), "$description"),
          HomieDescription.pack(topics, plan, version));
    }
    life.sendAllAgain();
    values.sendAllAgain();
    connection.subscribe(
        packs.stream().map(plan -> topics.alert(topics.device(plan.id()), "+")).toList());
  }

  private void sayInit() {
    life.put(topics.attribute(topics.root(), "$state"), "init");
    for (PackPlan plan : packs) {
      life.put(topics.attribute(topics.device(plan.id()), "$state"), "init");
    }
  }

  /** A pack that is not heard is lost or asleep, though its description stands. */
  private void sayLives() {
    life.put(topics.attribute(topics.root(), "$state"), "ready");
    for (PackPlan plan : packs) {
      life.put(topics.attribute(topics.device(plan.id()), "$state"), lives.of(plan.id()));
    }
  }

  /** Alerts that an earlier run left behind. */
  private void sweep(Connection connection) {
    for (Optional<Message> message = connection.nextReceived();
        message.isPresent();
        message = connection.nextReceived()) {
      if (!message.get().text().isEmpty() && !values.holds(message.get().topic())) {
        values.removeUrgently(message.get().topic());
      }
    }
  }

  @Override
  public long work(Connection connection) throws BrokerTrouble {
    takeReceipts(connection);
    sweep(connection);
    boolean room = send(connection, life) && send(connection, values);
    ready |= life.isClean() && values.isClean() && inFlight == 0;
    if (ready) {
      sayLives();
      room = send(connection, life);
    }
    return room ? REST_NANOS : SOON_NANOS;
  }

  @Override
  public void offline(BrokerTrouble trouble) {
    ready = false;
  }

  @Override
  public boolean farewell(Connection connection, boolean hurry) throws BrokerTrouble {
    takeReceipts(connection);
    if (goodbyes == 0) {
      goodbye(connection, topics.root());
      for (PackPlan plan : packs) {
        goodbye(connection, topics.device(plan.id()));
      }
    }
    return goodbyes == 0;
  }

  private void goodbye(Connection connection, String device) throws BrokerTrouble {
    Message message = new Message(topics.attribute(device, "$state"), "disconnected", true);
    if (connection.publish(message, GOODBYE)) {
      goodbyes++;
    }
  }

  private boolean send(Connection connection, RetainedStates states) throws BrokerTrouble {
    while (inFlight < MOST_IN_FLIGHT) {
      Optional<Message> next = states.next();
      if (next.isEmpty()) {
        return true;
      }
      if (!connection.publish(next.get(), next.get())) {
        states.notSent(next.get());
        return false;
      }
      inFlight++;
    }
    return true;
  }

  private void takeReceipts(Connection connection) {
    for (Optional<Object> receipt = connection.nextReceipt();
        receipt.isPresent();
        receipt = connection.nextReceipt()) {
      if (receipt.get() == GOODBYE) {
        goodbyes--;
      } else if (receipt.get() instanceof Message message) {
        inFlight--;
        values.acknowledged(message);
      }
    }
  }
}
