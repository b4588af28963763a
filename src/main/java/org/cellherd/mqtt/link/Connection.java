package org.cellherd.mqtt.link;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Queue;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.eclipse.paho.client.mqttv3.IMqttActionListener;
import org.eclipse.paho.client.mqttv3.IMqttDeliveryToken;
import org.eclipse.paho.client.mqttv3.IMqttToken;
import org.eclipse.paho.client.mqttv3.MqttAsyncClient;
import org.eclipse.paho.client.mqttv3.MqttCallback;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;
import org.jspecify.annotations.Nullable;

/**
 * One connection from its opening to its loss; never opened again. Used by the courier's thread
 * alone; the client library's threads only put into its queues.
 */
public final class Connection {

  private static final int QOS = 1;

  /** Received messages that wait for the courier; more are dropped and counted. */
  private static final int MOST_RECEIVED = 1_024;

  /** Longest message that is looked at, bytes. */
  private static final int LONGEST_RECEIVED = 65_536;

  private static final long CONNECT_LOOK_MS = 50;

  private final LinkSettings settings;
  private final TroubleText words;
  private final Wakeup wakeup;
  private final MqttAsyncClient client;
  private final Queue<Object> receipts = new ConcurrentLinkedQueue<>();
  private final Queue<Message> received = new ArrayBlockingQueue<>(MOST_RECEIVED);

  /** Opened when the broker has said yes or no to the connection. */
  private final CountDownLatch answered = new CountDownLatch(1);

  private volatile boolean open;
  private volatile @Nullable Throwable failure;

  private Connection(LinkSettings settings, Wakeup wakeup) throws BrokerTrouble {
    this.settings = settings;
    this.words = new TroubleText(settings);
    this.wakeup = wakeup;
    try {
      this.client =
          new MqttAsyncClient(
              settings.url().clientUri(), settings.clientId(), new MemoryPersistence());
    } catch (MqttException e) {
      throw words.of(e);
    }
  }

  /**
   * Opens a connection, waiting for the broker's answer. The will is sent by the broker, retained,
   * when the connection is lost without a farewell.
   *
   * @throws BrokerTrouble when it fails or the end is wanted meanwhile
   */
  public static Connection open(LinkSettings settings, Message will, Wakeup wakeup)
      throws BrokerTrouble, InterruptedException {
    return open(settings, Optional.of(will), wakeup);
  }

  /**
   * The same for somebody who only looks: nothing is sent when the connection is lost.
   *
   * @throws BrokerTrouble when it fails or the end is wanted meanwhile
   */
  public static Connection visit(LinkSettings settings, Wakeup wakeup)
      throws BrokerTrouble, InterruptedException {
    return open(settings, Optional.empty(), wakeup);
  }

  private static Connection open(LinkSettings settings, Optional<Message> will, Wakeup wakeup)
      throws BrokerTrouble, InterruptedException {
    Connection connection = new Connection(settings, wakeup);
    try {
      connection.connect(will);
      return connection;
    } catch (BrokerTrouble | InterruptedException e) {
      connection.drop();
      throw e;
    }
  }

  private void connect(Optional<Message> will) throws BrokerTrouble, InterruptedException {
    client.setCallback(new Arrivals());
    try {
      client.connect(ConnectOptions.of(settings, will), null, listener(() -> open = true));
      long rounds = settings.timing().connectMs() / CONNECT_LOOK_MS;
      for (long round = 0; round < rounds && !wakeup.isStopping(); round++) {
        if (answered.await(CONNECT_LOOK_MS, TimeUnit.MILLISECONDS)) {
          break;
        }
      }
      if (wakeup.isStopping()) {
        throw new BrokerTrouble("stopped while connecting");
      }
      Throwable why = failure;
      if (why != null) {
        throw words.ofAttempt(why);
      }
      if (!open) {
        throw new BrokerTrouble("broker " + settings.url() + " does not answer");
      }
    } catch (MqttException e) {
      throw words.of(e);
    }
  }

  /** False once the connection is lost. */
  public boolean isOpen() {
    return open && client.isConnected();
  }

  /** Why it was lost. */
  public BrokerTrouble loss() {
    Throwable why = failure;
    return why == null
        ? words.of(new MqttException(MqttException.REASON_CODE_CONNECTION_LOST))
        : words.of(why);
  }

  /**
   * Hands a message to the client library.
   *
   * @param receipt comes back from {@link #nextReceipt} when the broker has acknowledged
   * @return false when there is no room for now: try again soon
   */
  public boolean publish(Message message, Object receipt) throws BrokerTrouble {
    MqttMessage out = new MqttMessage(message.payload());
    out.setQos(QOS);
    out.setRetained(message.retained());
    try {
      client.publish(message.topic(), out, null, listener(() -> receipts.add(receipt)));
      return true;
    } catch (MqttException e) {
      // The library wakes the waiter before it counts down, so a full window may be no more than
      // a race; it is never a loss.
      if (e.getReasonCode() == MqttException.REASON_CODE_MAX_INFLIGHT) {
        return false;
      }
      throw words.of(e);
    }
  }

  /**
   * Says how long an acknowledgement has been waited for.
   *
   * @throws BrokerTrouble when that is too long
   */
  public void expectAnswer(long waitedNanos) throws BrokerTrouble {
    if (waitedNanos > settings.timing().acknowledgeMs() * 1_000_000L) {
      throw new BrokerTrouble("broker " + settings.url() + " does not acknowledge");
    }
  }

  /** Asks for messages; those kept by the broker come first. */
  public void subscribe(List<String> filters) throws BrokerTrouble {
    int[] qos = new int[filters.size()];
    Arrays.fill(qos, QOS);
    try {
      client.subscribe(filters.toArray(new String[0]), qos, null, listener(() -> {}));
    } catch (MqttException e) {
      throw words.of(e);
    }
  }

  /** Asks for no more of these. */
  public void unsubscribe(List<String> filters) throws BrokerTrouble {
    try {
      client.unsubscribe(filters.toArray(new String[0]), null, listener(() -> {}));
    } catch (MqttException e) {
      throw words.of(e);
    }
  }

  /** The next acknowledged message's receipt. */
  public Optional<Object> nextReceipt() {
    return Optional.ofNullable(receipts.poll());
  }

  /** The next message that came in. */
  public Optional<Message> nextReceived() {
    return Optional.ofNullable(received.poll());
  }

  /** Says goodbye, so that the broker forgets the will; waits at most this long. */
  public void leave(long ms) {
    try {
      client.disconnect(0).waitForCompletion(ms);
    } catch (MqttException e) {
      failure = e;
    }
    drop();
  }

  /** Cuts the line without a goodbye: the broker sends the will. */
  public void drop() {
    open = false;
    try {
      if (client.isConnected()) {
        client.disconnectForcibly(0, 200, false);
      }
      client.close(true);
    } catch (MqttException e) {
      failure = e;
    }
  }

  private IMqttActionListener listener(Runnable onSuccess) {
    return new IMqttActionListener() {
      @Override
      public void onSuccess(IMqttToken token) {
        onSuccess.run();
        answered.countDown();
        wakeup.signal();
      }

      @Override
      public void onFailure(IMqttToken token, Throwable cause) {
        lost(cause);
      }
    };
  }

  private void lost(@Nullable Throwable cause) {
    if (cause != null && failure == null) {
      failure = cause;
    }
    open = false;
    answered.countDown();
    wakeup.signal();
  }

  /** Runs on the client library's thread: only puts into queues. */
  private final class Arrivals implements MqttCallback {
    @Override
    public void connectionLost(Throwable cause) {
      lost(cause);
    }

    @Override
    public void messageArrived(String topic, MqttMessage message) {
      byte[] payload = message.getPayload();
      if (payload.length <= LONGEST_RECEIVED) {
        String text = new String(payload, StandardCharsets.UTF_8);
        received.offer(new Message(topic, text, message.isRetained()));
        wakeup.signal();
      }
    }

    @Override
    public void deliveryComplete(IMqttDeliveryToken token) {
      // Acknowledgements come by the listener of each message.
    }
  }
}
