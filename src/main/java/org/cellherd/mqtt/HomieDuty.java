package org.cellherd.mqtt;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Duty;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.TimeSource;

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
  private final Keeping keeping;
  private final StateSender sender;
  private final TimeSource time;
  private final RetainedStates life = new RetainedStates();
  private boolean ready;
  private int goodbyes;

  /** Devices that have not yet said that they leave. */
  private final Deque<String> farewells = new ArrayDeque<>();

  HomieDuty(
      HomieTopics topics,
      List<PackPlan> packs,
      HomieState state,
      Keeping keeping,
      TimeSource time) {
    this.topics = topics;
    this.packs = packs;
    this.values = state.values();
    this.lives = state.lives();
    this.keeping = keeping;
    this.sender = new StateSender(keeping, MOST_IN_FLIGHT);
    this.time = time;
    farewells.add(topics.root());
    packs.forEach(plan -> farewells.add(topics.device(plan.id())));
  }

  @Override
  public void online(Connection connection) throws BrokerTrouble {
    sender.restart();
    ready = false;
    sayInit();
    long version = keeping.version(descriptions(0), time.wallMs() / 1000);
    List<String> descriptions = descriptions(version);
    life.put(topics.attribute(topics.root(), "$description"), descriptions.get(0));
    for (int i = 0; i < packs.size(); i++) {
      String device = topics.device(packs.get(i).id());
      life.put(topics.attribute(device, "$description"), descriptions.get(i + 1));
    }
    life.sendAllAgain();
    values.sendAllAgain();
  }

  /** The root's, then each pack's. */
  private List<String> descriptions(long version) {
    return Stream.concat(
            Stream.of(HomieDescription.root(topics, packs, version)),
            packs.stream().map(plan -> HomieDescription.pack(topics, plan, version)))
        .toList();
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

  @Override
  public long work(Connection connection) throws BrokerTrouble {
    takeReceipts(connection);
    boolean room = sender.send(connection, life) && sender.send(connection, values);
    ready |= life.isClean() && values.isClean() && sender.isIdle();
    if (ready) {
      sayLives();
      room = sender.send(connection, life);
      keeping.save();
    }
    return room ? REST_NANOS : SOON_NANOS;
  }

  @Override
  public void working() {
    // Nobody asks how this connection stands: the site's tells.
  }

  @Override
  public void offline(BrokerTrouble trouble) {
    ready = false;
  }

  @Override
  public boolean farewell(Connection connection, boolean hurry) throws BrokerTrouble {
    takeReceipts(connection);
    while (!farewells.isEmpty() && goodbye(connection, farewells.peek())) {
      farewells.remove();
    }
    return farewells.isEmpty() && goodbyes == 0;
  }

  private boolean goodbye(Connection connection, String device) throws BrokerTrouble {
    Publication message = new Publication(topics.attribute(device, "$state"), "disconnected", true);
    if (!connection.publish(message, GOODBYE)) {
      return false;
    }
    goodbyes++;
    return true;
  }

  private void takeReceipts(Connection connection) {
    for (Object receipt : connection.takeReceipts()) {
      if (receipt == GOODBYE) {
        goodbyes--;
      } else if (receipt instanceof Publication message) {
        sender.acknowledged(message, values);
      }
    }
  }
}
