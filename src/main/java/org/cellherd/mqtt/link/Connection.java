package org.cellherd.mqtt.link;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.cellherd.pack.TimeSource;
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
 * One connection from its opening to its loss; never opened again. Used by the client's thread
 * alone; the client library's threads only put into its queues.
 */
public final class Connection {

  private static final int QOS = 1;
  private static final int REFUSED = 0x80;
  private static final long CONNECT_LOOK_MS = 50;

  private final LinkSettings settings;
  private final TroubleText words;
  private final Wakeup wakeup;
  private final MqttAsyncClient client;
  private final OpenSockets openSockets = new OpenSockets();
  private final Payloads payloads = new Payloads();
  private final Unanswered unanswered;
  private final Inbound inbound;

  /** Opened when the broker has said yes or no to the connection. */
  private final CountDownLatch answered = new CountDownLatch(1);

  private volatile boolean open;
  private volatile @Nullable Throwable failure;

  private Connection(LinkSettings settings, TimeSource time, Wakeup wakeup) throws BrokerTrouble {
    this.settings = settings;
    this.words = new TroubleText(settings);
    this.wakeup = wakeup;
    this.unanswered = new Unanswered(time);
    this.inbound = new Inbound(settings.mostWaiting());
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
  public static Connection open(
      LinkSettings settings, Publication will, TimeSource time, Wakeup wakeup)
      throws BrokerTrouble, InterruptedException {
    return opened(new Connection(settings, time, wakeup), Optional.of(will));
  }

  /**
   * The same for somebody who only looks: nothing is sent when the connection is lost.
   *
   * @throws BrokerTrouble when it fails or the end is wanted meanwhile
   */
  public static Connection visit(LinkSettings settings, TimeSource time, Wakeup wakeup)
      throws BrokerTrouble, InterruptedException {
    return opened(new Connection(settings, time, wakeup), Optional.empty());
  }

  private static Connection opened(Connection connection, Optional<Publication> will)
      throws BrokerTrouble, InterruptedException {
    try {
      connection.connect(will);
      return connection;
    } catch (BrokerTrouble | InterruptedException | RuntimeException e) {
      connection.drop();
      throw e;
    }
  }

  private void connect(Optional<Publication> will) throws BrokerTrouble, InterruptedException {
    client.setCallback(new Arrivals());
    try {
      client.connect(
          ConnectOptions.of(settings, will, openSockets, payloads),
          null,
          listener(token -> open = true));
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
        throw words.ofAttempt(payloads.why(why));
      }
      if (!open) {
        throw new BrokerTrouble("broker " + settings.url() + " does not answer");
      }
    } catch (MqttException e) {
      throw words.of(payloads.why(e));
    }
  }

  /** False once the connection is lost. */
  public boolean isOpen() {
    return open && client.isConnected();
  }

  /** Why it was lost. */
  public BrokerTrouble loss() {
    Throwable why = failure;
    return words.ofLoss(
        payloads.why(
            why == null ? new MqttException(MqttException.REASON_CODE_CONNECTION_LOST) : why),
        unanswered.oldest());
  }

  /**
   * Hands a message to the client library.
   *
   * @param receipt comes back from {@link #takeReceipts} when the broker has acknowledged
   * @return false when there is no room for now: try again soon
   */
  public boolean publish(Publication message, Object receipt) throws BrokerTrouble {
    MqttMessage out = new MqttMessage(message.payload());
    out.setQos(QOS);
    out.setRetained(message.retained());
    Unanswered.Request request = unanswered.sentMessage(message.topic());
    try {
      client.publish(
          message.topic(), out, null, listener(token -> unanswered.answered(request, receipt)));
      return true;
    } catch (MqttException e) {
      unanswered.notSent(request);
      // The library wakes the waiter before it counts down, so a full window may be no more than
      // a race; it is never a loss.
      if (e.getReasonCode() == MqttException.REASON_CODE_MAX_INFLIGHT) {
        return false;
      }
      throw words.of(payloads.why(e));
    }
  }

  /** True once the broker takes messages upon itself: it not only lets us in, it works. */
  public boolean isAnswered() {
    return unanswered.isAnswered();
  }

  /** How long the oldest message waits for its acknowledgement, ns; empty when none waits. */
  public OptionalLong oldestUnansweredNanos() {
    return unanswered.oldestNanos();
  }

  /**
   * Does nothing while the broker answers what it gets in time.
   *
   * @throws BrokerTrouble when it does not
   */
  public void expectAnswers() throws BrokerTrouble {
    long most = settings.timing().acknowledgeMs() * 1_000_000L;
    if (unanswered.oldestNanos().orElse(0) > most) {
      throw words.ofSilence(unanswered.oldest().orElse(""));
    }
  }

  /**
   * Asks for messages; those kept by the broker come first.
   *
   * @param refused comes back from {@link #takeReceipts} when the broker refuses, {@code granted}
   *     when it does not
   */
  public void subscribe(List<String> filters, Object granted, Object refused) throws BrokerTrouble {
    int[] qos = new int[filters.size()];
    Arrays.fill(qos, QOS);
    String what = "the subscription to " + String.join(", ", filters);
    Unanswered.Request request = unanswered.sent(what);
    try {
      client.subscribe(
          filters.toArray(new String[0]),
          qos,
          null,
          listener(
              token -> {
                boolean no = Arrays.stream(token.getGrantedQos()).anyMatch(q -> q == REFUSED);
                unanswered.answered(request, no ? refused : granted);
              }));
    } catch (MqttException e) {
      throw words.of(payloads.why(e));
    }
  }

  /** Asks for messages no longer. */
  public void unsubscribe(List<String> filters, Object done) throws BrokerTrouble {
    Unanswered.Request request = unanswered.sent("the end of a subscription");
    try {
      client.unsubscribe(
          filters.toArray(new String[0]),
          null,
          listener(token -> unanswered.answered(request, done)));
    } catch (MqttException e) {
      throw words.of(payloads.why(e));
    }
  }

  /** Receipts of what was acknowledged since this was last asked, in order. */
  public List<Object> takeReceipts() {
    List<Object> receipts = new ArrayList<>();
    for (Optional<Object> next = unanswered.next(); next.isPresent(); next = unanswered.next()) {
      receipts.add(next.get());
    }
    return receipts;
  }

  /** The next message that came in. */
  public Optional<Received> nextReceived() {
    return inbound.next();
  }

  /** How many messages that came in were dropped since this was last asked: too many waited. */
  public long takeDropped() {
    return inbound.takeDropped();
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
    openSockets.cut();
    try {
      if (client.isConnected()) {
        client.disconnectForcibly(0, 200, false);
      }
      client.close(true);
    } catch (MqttException stillEnding) {
      // Its threads end with their socket.
      lost(stillEnding);
    }
  }

  private IMqttActionListener listener(Consumer<IMqttToken> onSuccess) {
    return new IMqttActionListener() {
      @Override
      public void onSuccess(IMqttToken token) {
        onSuccess.accept(token);
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
    public void messageArrived(String placeholder, MqttMessage message) {
      Payloads.Message said = payloads.of(message);
      inbound.put(said.topic, said.payload, message.isRetained());
      wakeup.signal();
    }

    @Override
    public void deliveryComplete(IMqttDeliveryToken token) {
      // Acknowledgements come by the listener of each message.
    }
  }
}
