package org.cellherd.fleet;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import org.cellherd.mqtt.link.BrokerUrl;
import org.eclipse.paho.client.mqttv3.IMqttDeliveryToken;
import org.eclipse.paho.client.mqttv3.MqttAsyncClient;
import org.eclipse.paho.client.mqttv3.MqttCallback;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;

/** A connection that speaks for the sites of some lanes. */
final class CrowdLine implements AutoCloseable {

  private static final int ON_THEIR_WAY = 500;
  private static final long WAIT_MS = 60_000;

  /**
   * What a centre said.
   *
   * @param site name in the topic
   * @param text of the message
   */
  record Answer(String site, String text) {}

  private final MqttAsyncClient client;
  private final Queue<Answer> answers = new ConcurrentLinkedQueue<>();
  private volatile boolean isLost;

  CrowdLine(BrokerUrl url, String name, List<Integer> lanes) throws MqttException {
    client = new MqttAsyncClient("tcp://" + url.hostAndPort(), name, new MemoryPersistence());
    client.setCallback(
        new MqttCallback() {
          @Override
          public void connectionLost(Throwable cause) {
            isLost = true;
          }

          @Override
          public void messageArrived(String topic, MqttMessage message) {
            String[] parts = topic.split("/");
            String text = new String(message.getPayload(), StandardCharsets.UTF_8);
            answers.add(new Answer(parts[parts.length - 2], text));
          }

          @Override
          public void deliveryComplete(IMqttDeliveryToken token) {}
        });
    MqttConnectOptions options = new MqttConnectOptions();
    options.setMaxInflight(ON_THEIR_WAY);
    client.connect(options).waitForCompletion(WAIT_MS);
    String[] topics =
        lanes.stream().map(n -> FleetSite.ROOT + "/" + n + "/+/held").toArray(String[]::new);
    int[] qos = lanes.stream().mapToInt(n -> 1).toArray();
    client.subscribe(topics, qos).waitForCompletion(WAIT_MS);
  }

  /** What came in since this was last asked. */
  Queue<Answer> answers() {
    return answers;
  }

  /** Sends; false when the line is full for now. */
  boolean send(String topic, String text, boolean isKept) {
    if (isLost) {
      throw new IllegalStateException("the broker closed a connection of the crowd");
    }
    try {
      client.publish(topic, text.getBytes(StandardCharsets.UTF_8), 1, isKept);
      return true;
    } catch (MqttException full) {
      if (full.getReasonCode() == MqttException.REASON_CODE_MAX_INFLIGHT) {
        return false;
      }
      throw new IllegalStateException(full);
    }
  }

  @Override
  public void close() throws MqttException {
    client.disconnectForcibly(0, 200, false);
    client.close(true);
  }
}
