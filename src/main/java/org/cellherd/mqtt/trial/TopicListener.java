package org.cellherd.mqtt.trial;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.LockSupport;
import java.util.concurrent.locks.ReentrantLock;
import org.cellherd.mqtt.link.BrokerUrl;
import org.eclipse.paho.client.mqttv3.IMqttMessageListener;
import org.eclipse.paho.client.mqttv3.MqttAsyncClient;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;
import org.jspecify.annotations.Nullable;

/** A second client that hears what a broker sends on some topics: what a dashboard would see. */
public final class TopicListener implements AutoCloseable {

  /** Takes messages, on the client's thread; must return soon. */
  @FunctionalInterface
  public interface Ear {
    void message(String topic, String payload, boolean retained);
  }

  private static final Logger LOG = System.getLogger(TopicListener.class.getName());
  private static final int MOST_PAYLOAD = 65_536;

  /** Long enough on a computer that does ten things at once. */
  private static final long WAIT_MS = 60_000;

  private static final int MOST_ATTEMPTS = 12;

  private static final long PAUSE_NANOS = 100_000_000;

  private final @Nullable MqttAsyncClient client;
  private final ReentrantLock lock = new ReentrantLock();
  private final Condition heard = lock.newCondition();
  private long messages;

  private TopicListener(@Nullable MqttAsyncClient client) {
    this.client = client;
  }

  /** A listener without a broker, which hears nothing. */
  public static TopicListener none() {
    return new TopicListener(null);
  }

  /**
   * Connects and subscribes.
   *
   * @throws IllegalStateException when the broker cannot be reached; the message says why
   */
  public static TopicListener start(BrokerUrl url, String filter, Ear ear) {
    String scheme = url.tls() ? "ssl://" : "tcp://";
    try {
      MqttAsyncClient client =
          new MqttAsyncClient(
              scheme + url.hostAndPort(), "cellherd-listener", new MemoryPersistence());
      TopicListener listener = new TopicListener(client);
      IMqttMessageListener each =
          (topic, message) -> {
            byte[] payload = message.getPayload();
            int length = Math.min(payload.length, MOST_PAYLOAD);
            String text = new String(payload, 0, length, StandardCharsets.UTF_8);
            ear.message(topic, text, message.isRetained());
            listener.count();
          };
      connect(client, filter, each);
      return listener;
    } catch (MqttException unreachable) {
      throw new IllegalStateException(
          "broker " + url + " cannot be reached: " + unreachable.getMessage(), unreachable);
    }
  }

  /** A broker that has only just begun may drop whoever comes first: asks again, not for ever. */
  private static void connect(MqttAsyncClient client, String filter, IMqttMessageListener each)
      throws MqttException {
    MqttConnectOptions options = new MqttConnectOptions();
    options.setCleanSession(true);
    options.setMqttVersion(MqttConnectOptions.MQTT_VERSION_3_1_1);
    for (int left = MOST_ATTEMPTS - 1; ; left--) {
      try {
        client.connect(options).waitForCompletion(WAIT_MS);
        client.subscribe(filter, 1, each).waitForCompletion(WAIT_MS);
        return;
      } catch (MqttException dropped) {
        if (left == 0 || dropped.getReasonCode() != MqttException.REASON_CODE_CONNECTION_LOST) {
          throw dropped;
        }
        LockSupport.parkNanos(PAUSE_NANOS);
      }
    }
  }

  private void count() {
    lock.lock();
    try {
      messages++;
      heard.signalAll();
    } finally {
      lock.unlock();
    }
  }

  /** Waits until nothing has come for a while, but not longer than at most. */
  public void awaitQuiet(Duration quiet, Duration atMost) throws InterruptedException {
    if (client == null) {
      return;
    }
    long rest = atMost.toNanos();
    lock.lockInterruptibly();
    try {
      long before;
      do {
        before = messages;
        long slice = Math.min(rest, quiet.toNanos());
        rest -= slice - Math.max(0, awaitSlice(slice));
      } while (messages != before && rest > 0);
    } finally {
      lock.unlock();
    }
  }

  /** Waits out a slice of time, whatever comes meanwhile; returns what is left, 0. */
  private long awaitSlice(long nanos) throws InterruptedException {
    long left = nanos;
    while (left > 0) {
      left = heard.awaitNanos(left);
    }
    return left;
  }

  @Override
  public void close() {
    if (client == null) {
      return;
    }
    try {
      client.disconnect(0).waitForCompletion(TimeUnit.SECONDS.toMillis(1));
      client.close(true);
    } catch (MqttException alreadyGone) {
      LOG.log(Level.DEBUG, "listener: " + alreadyGone.getMessage());
    }
  }
}
