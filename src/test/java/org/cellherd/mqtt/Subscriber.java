package org.cellherd.mqtt;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.Publication;
import org.eclipse.paho.client.mqttv3.MqttClient;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;

/** A second client that writes down what it receives, also after the broker was restarted. */
final class Subscriber implements AutoCloseable {

  private static final int MOST_DROPPED = 2;

  private static int count;

  private final BrokerUrl url;
  private MqttClient client;
  private final List<Publication> messages = new CopyOnWriteArrayList<>();

  Subscriber(BrokerUrl url) throws MqttException {
    this.url = url;
    client = unused();
    connect();
  }

  private MqttClient unused() throws MqttException {
    return new MqttClient(
        "tcp://" + url.hostAndPort(), "subscriber-" + nextNumber(), new MemoryPersistence());
  }

  private static synchronized int nextNumber() {
    return ++count;
  }

  /**
   * Connects (again) and asks for everything; a broker that just began may drop its first guest.
   */
  void connect() throws MqttException {
    for (int dropped = 0; ; dropped++) {
      try {
        ask();
        return;
      } catch (MqttException e) {
        if (dropped == MOST_DROPPED) {
          throw e;
        }
        // One that is still being disconnected cannot connect.
        close();
        client = unused();
      }
    }
  }

  private void ask() throws MqttException {
    MqttConnectOptions options = new MqttConnectOptions();
    options.setMaxInflight(1_000);
    client.connect(options);
    client.subscribe(
        "#",
        1,
        (topic, message) ->
            messages.add(
                new Publication(
                    topic,
                    new String(message.getPayload(), StandardCharsets.UTF_8),
                    message.isRetained())));
  }

  void publish(String topic, String text, boolean retained) throws MqttException {
    publish(topic, text.getBytes(StandardCharsets.UTF_8), retained);
  }

  void publish(String topic, byte[] payload, boolean retained) throws MqttException {
    client.publish(topic, payload, 1, retained);
  }

  List<Publication> all() {
    return messages;
  }

  List<String> texts(String topic) {
    return messages.stream().filter(m -> m.topic().equals(topic)).map(Publication::text).toList();
  }

  Optional<String> last(String topic) {
    List<String> texts = texts(topic);
    return texts.isEmpty() ? Optional.empty() : Optional.of(texts.get(texts.size() - 1));
  }

  boolean has(String topic, String text) {
    return messages.stream().anyMatch(m -> m.topic().equals(topic) && m.text().equals(text));
  }

  @Override
  public void close() {
    try {
      if (client.isConnected()) {
        client.disconnectForcibly(0, 200, false);
      }
      client.close(true);
    } catch (MqttException e) {
      throw new IllegalStateException(e);
    }
  }
}
