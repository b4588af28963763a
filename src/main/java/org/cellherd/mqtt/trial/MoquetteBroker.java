package org.cellherd.mqtt.trial;

import io.moquette.broker.Server;
import io.moquette.broker.config.IConfig;
import io.moquette.broker.config.MemoryConfig;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.util.Properties;
import java.util.logging.Level;
import java.util.logging.Logger;
import org.eclipse.paho.client.mqttv3.MqttClient;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;
import org.jspecify.annotations.Nullable;

/** The one class that names the broker library, loaded only when it is there. */
final class MoquetteBroker {

  /** Held, so that the level set on it is not collected away. */
  private static final Logger NOISE = Logger.getLogger("io.moquette");

  private static final Logger NETTY_NOISE = Logger.getLogger("io.netty");

  private static final int MOST_KNOCKS = 10;

  private final Server server;
  private final int port;

  private MoquetteBroker(Server server, int port) {
    this.server = server;
    this.port = port;
  }

  static MoquetteBroker start() throws IOException {
    // To them each client that dies is an error; what goes wrong at the start they throw.
    NOISE.setLevel(Level.OFF);
    NETTY_NOISE.setLevel(Level.OFF);
    int port = freePort();
    Properties properties = new Properties();
    properties.setProperty(IConfig.HOST_PROPERTY_NAME, "127.0.0.1");
    properties.setProperty(IConfig.PORT_PROPERTY_NAME, Integer.toString(port));
    properties.setProperty(IConfig.ALLOW_ANONYMOUS_PROPERTY_NAME, "true");
    properties.setProperty(IConfig.PERSISTENCE_ENABLED_PROPERTY_NAME, "false");
    properties.setProperty(IConfig.ENABLE_TELEMETRY_NAME, "false");
    properties.setProperty(IConfig.NETTY_MAX_BYTES_PROPERTY_NAME, "65536");
    Server server = new Server();
    server.startServer(new MemoryConfig(properties));
    awaitReady(port);
    return new MoquetteBroker(server, port);
  }

  /** Whoever comes first is sometimes turned away: let that be a guest who does not mind. */
  private static void awaitReady(int port) throws IOException {
    String url = "tcp://127.0.0.1:" + port;
    @Nullable MqttException last = null;
    for (int knock = 0; knock < MOST_KNOCKS; knock++) {
      try (MqttClient guest = new MqttClient(url, "guest", new MemoryPersistence())) {
        guest.connect();
        guest.disconnect();
        return;
      } catch (MqttException turnedAway) {
        last = turnedAway;
      }
    }
    throw new IOException("the broker inside lets nobody in", last);
  }

  /** The library tells the port it chose too late and unsynchronised: choose it ourselves. */
  private static int freePort() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }

  int port() {
    return port;
  }

  void stop() {
    server.stopServer();
  }
}
