package org.cellherd.fleet;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import org.cellherd.forward.wire.CentreAnswer;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.link.BrokerUrl;
import org.eclipse.paho.client.mqttv3.IMqttDeliveryToken;
import org.eclipse.paho.client.mqttv3.MqttAsyncClient;
import org.eclipse.paho.client.mqttv3.MqttCallback;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;

/**
 * Somebody at the broker who hears all, repeats old parcels in another order, claims what is not so
 * and sends what is no parcel. A broker that is away is left alone.
 */
final class Meddler implements AutoCloseable {

  private static final int MOST = 200;

  private final MqttAsyncClient client;
  private final List<String[]> heard = Collections.synchronizedList(new ArrayList<>());

  Meddler(BrokerUrl url) throws MqttException {
    client = new MqttAsyncClient("tcp://" + url.hostAndPort(), "meddler", new MemoryPersistence());
    client.setCallback(
        new MqttCallback() {
          @Override
          public void connectionLost(Throwable cause) {}

          @Override
          public void messageArrived(String topic, MqttMessage message) {
            if (topic.endsWith("/parcel")) {
              heard.add(
                  new String[] {topic, new String(message.getPayload(), StandardCharsets.UTF_8)});
            }
          }

          @Override
          public void deliveryComplete(IMqttDeliveryToken token) {}
        });
    connect();
  }

  /** Listens (again); without a broker not. */
  void connect() {
    try {
      if (!client.isConnected()) {
        MqttConnectOptions options = new MqttConnectOptions();
        options.setMaxInflight(1_000);
        client.connect(options).waitForCompletion(10_000);
        client.subscribe(FleetSite.ROOT + "/#", 1).waitForCompletion(10_000);
      }
    } catch (MqttException away) {
      // The next time.
    }
  }

  /** Sends parcels that were sent before, in any order, some of them twice. */
  void repeat(Random random) {
    List<String[]> some;
    synchronized (heard) {
      some = new ArrayList<>(heard);
    }
    Collections.shuffle(some, random);
    some.stream().limit(MOST).forEach(m -> send(m[0], m[1]));
    some.stream().limit(MOST / 4).forEach(m -> send(m[0], m[1]));
  }

  /** All that was heard, in any order, in parts that a broker's queue takes. */
  List<List<String[]>> all(Random random) {
    List<String[]> all;
    synchronized (heard) {
      all = new ArrayList<>(heard);
    }
    Collections.shuffle(all, random);
    List<List<String[]>> parts = new ArrayList<>();
    for (int from = 0; from < all.size(); from += MOST) {
      parts.add(all.subList(from, Math.min(all.size(), from + MOST)));
    }
    return parts;
  }

  /** Sends these, and waits until the broker has all of them. */
  void sendAndWait(List<String[]> messages) throws MqttException {
    List<IMqttDeliveryToken> sent = new ArrayList<>();
    for (String[] message : messages) {
      byte[] bytes = message[1].getBytes(StandardCharsets.UTF_8);
      sent.add(client.publish(message[0], bytes, 1, false));
    }
    for (IMqttDeliveryToken each : sent) {
      each.waitForCompletion(10_000);
    }
  }

  /** Says that things are held that are not, and newer than they are. */
  void forge(Lane lane, String log, Random random) {
    for (int i = 0; i < 20; i++) {
      CentreAnswer.Held held =
          new CentreAnswer.Held(
              log,
              random.nextLong(),
              random.nextInt(1_000),
              random.nextInt(1_000),
              random.nextInt(1_000_000),
              random.nextBoolean());
      send(lane.held(), held.line());
    }
    send(lane.held(), "all is held");
    send(lane.parcel(), "no parcel");
    Lane ghost = new Lane(lane.root(), "ghost");
    send(ghost.parcel(), "1 " + log + " 1f gap 7 1/1 3\nAAAA");
    send(ghost.parcel(), "1 " + log + " 1f block 7 1/1 3/999999999999999999\nAAAA");
  }

  private void send(String topic, String text) {
    send(topic, text.getBytes(StandardCharsets.UTF_8));
  }

  /** Sends bytes, whatever they are. */
  void send(String topic, byte[] bytes) {
    try {
      client.publish(topic, bytes, 1, false);
    } catch (MqttException away) {
      // That much less mischief.
    }
  }

  @Override
  public void close() throws MqttException {
    client.disconnectForcibly(0, 200, false);
    client.close(true);
  }
}
