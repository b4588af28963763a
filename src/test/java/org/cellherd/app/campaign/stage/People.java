package org.cellherd.app.campaign.stage;

import java.nio.charset.StandardCharsets;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.trial.TopicListener;
import org.eclipse.paho.client.mqttv3.MqttClient;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;

/** Other clients of the broker: a dashboard that hears all, people who acknowledge, strangers. */
public final class People implements AutoCloseable {

  private static final Pattern ID = Pattern.compile("\"event\":\"([^\"]+)\"");
  private static final Pattern ALERT = Pattern.compile("\"id\":\"([^\"]+)\"");
  private static final String ROOT = "cellherd/bench/";

  private final BrokerUrl url;
  private final MqttClient mouth;
  private final TopicListener ear;
  private final Map<String, Integer> received = new LinkedHashMap<>();
  private final Map<String, String> alerts = new LinkedHashMap<>();
  private boolean isOnline;

  /** They sit at the broker itself: what fails is the program's way to it. */
  public People(BrokerUrl url) throws MqttException {
    this.url = url;
    this.mouth = new MqttClient("tcp://" + url.hostAndPort(), "people", new MemoryPersistence());
    mouth.connect();
    this.ear = TopicListener.start(url, ROOT + "#", this::hear);
  }

  private synchronized void hear(String topic, String payload, boolean retained) {
    if (topic.endsWith("/event")) {
      Matcher id = ID.matcher(payload);
      received.merge(id.find() ? id.group(1) : payload, 1, Integer::sum);
    } else if (topic.equals(ROOT + "link")) {
      isOnline = payload.equals("online");
    } else if (topic.contains("/alert/")) {
      if (payload.isEmpty()) {
        alerts.remove(topic);
      } else {
        alerts.put(topic, payload);
      }
    }
  }

  /** Ids of events in the order of their first coming, and how often each came. */
  public synchronized Map<String, Integer> received() {
    return new LinkedHashMap<>(received);
  }

  /**
   * The alerts that are retained now, as their JSON; none while the link says that nobody is there
   * to stand by them.
   */
  public synchronized List<String> alerts() {
    return isOnline ? List.copyOf(alerts.values()) : List.of();
  }

  /** Sends something to the topic of acknowledgements. */
  public void acknowledge(String text) throws MqttException {
    say("ack", text);
  }

  /** Sees every alert that is active. */
  public void acknowledgeAll() throws MqttException {
    for (String alert : alerts()) {
      Matcher id = ALERT.matcher(alert);
      if (id.find()) {
        acknowledge("{\"id\": \"" + id.group(1) + "\", \"by\": \"owner\"}");
      }
    }
  }

  /** Sends something to a topic of the site; where the broker takes it ill, people come again. */
  public void say(String topic, String text) throws MqttException {
    if (!mouth.isConnected()) {
      mouth.connect();
    }
    try {
      mouth.publish(ROOT + topic, text.getBytes(StandardCharsets.UTF_8), 1, false);
    } catch (MqttException turnedAway) {
      if (mouth.isConnected()) {
        mouth.disconnectForcibly(0, 200, false);
      }
    }
  }

  /** Another computer comes with the same client id, again and again. */
  public AutoCloseable takeOver(String clientId) {
    AtomicBoolean goesOn = new AtomicBoolean(!clientId.isEmpty());
    Threads.start(
        "taker",
        () -> {
          while (goesOn.get()) {
            take(clientId);
            Threads.pause(1000);
          }
        });
    return () -> goesOn.set(false);
  }

  private void take(String clientId) {
    MqttConnectOptions options = new MqttConnectOptions();
    options.setConnectionTimeout(2);
    try (MqttClient taker =
        new MqttClient("tcp://" + url.hostAndPort(), clientId, new MemoryPersistence())) {
      taker.setTimeToWait(2000);
      taker.connect(options);
      taker.disconnect();
    } catch (MqttException thrownOff) {
      // By the program, which takes it back.
    }
  }

  @Override
  public void close() throws MqttException {
    ear.close();
    if (mouth.isConnected()) {
      mouth.disconnectForcibly(0, 200, false);
    }
    mouth.close(true);
  }
}
