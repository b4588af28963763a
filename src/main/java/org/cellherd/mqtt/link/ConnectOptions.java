package org.cellherd.mqtt.link;

import java.util.Optional;
import javax.net.SocketFactory;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;

/** The client library's options. */
final class ConnectOptions {

  /** Ours is one event and a few states in flight; the library's own count lags behind. */
  private static final int MOST_IN_FLIGHT = 1_000;

  private ConnectOptions() {}

  static MqttConnectOptions of(
      LinkSettings settings, Optional<Publication> will, OpenSockets openSockets, Payloads payloads)
      throws BrokerTrouble {
    MqttConnectOptions options = new MqttConnectOptions();
    options.setMqttVersion(MqttConnectOptions.MQTT_VERSION_3_1_1);
    options.setCleanSession(true);
    options.setAutomaticReconnect(false);
    options.setMaxInflight(MOST_IN_FLIGHT);
    options.setKeepAliveInterval(settings.timing().keepAliveS());
    options.setConnectionTimeout((int) Math.max(1, settings.timing().connectMs() / 1_000));
    options.setExecutorServiceTimeout(1);
    will.ifPresent(w -> options.setWill(w.topic(), w.payload(), 1, true));
    Optional<LinkSettings.Login> login = settings.login();
    if (login.isPresent()) {
      options.setUserName(login.get().user());
      options.setPassword(login.get().password());
    }
    SocketFactory sockets =
        settings.url().tls() ? TlsTrust.sockets(settings.caFile()) : SocketFactory.getDefault();
    options.setSocketFactory(new GuardedSocket.Factory(sockets, openSockets, payloads));
    return options;
  }
}
