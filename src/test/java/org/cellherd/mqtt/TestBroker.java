package org.cellherd.mqtt;

import io.moquette.broker.Server;
import io.moquette.broker.config.IConfig;
import io.moquette.broker.config.MemoryConfig;
import io.moquette.broker.security.IAuthenticator;
import io.moquette.broker.security.PermitAllAuthorizatorPolicy;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;
import java.util.Properties;
import org.cellherd.FreePort;
import org.cellherd.mqtt.link.BrokerUrl;
import org.jspecify.annotations.Nullable;

/** An in-process broker on loopback that tests stop and start again on the same port. */
public final class TestBroker implements BrokerUnderTest {

  private final @Nullable String password;
  private @Nullable Server server;
  private final int port = FreePort.find();

  private TestBroker(@Nullable String password) {
    this.password = password;
  }

  /** A running broker that lets anybody in. */
  public static TestBroker open() {
    TestBroker broker = new TestBroker(null);
    broker.start();
    return broker;
  }

  /** A running broker that lets in only who knows the password. */
  public static TestBroker withPassword(String password) {
    TestBroker broker = new TestBroker(password);
    broker.start();
    return broker;
  }

  @Override
  public void start() {
    Properties properties = new Properties();
    properties.setProperty(IConfig.HOST_PROPERTY_NAME, "127.0.0.1");
    properties.setProperty(IConfig.PORT_PROPERTY_NAME, Integer.toString(port));
    properties.setProperty(
        IConfig.ALLOW_ANONYMOUS_PROPERTY_NAME, Boolean.toString(password == null));
    properties.setProperty(IConfig.PERSISTENCE_ENABLED_PROPERTY_NAME, "false");
    properties.setProperty(IConfig.ENABLE_TELEMETRY_NAME, "false");
    properties.setProperty(IConfig.NETTY_MAX_BYTES_PROPERTY_NAME, "1000000");
    Server fresh = new Server();
    try {
      fresh.startServer(
          new MemoryConfig(properties),
          List.of(),
          null,
          password == null ? null : authenticator(password),
          new PermitAllAuthorizatorPolicy());
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    server = fresh;
  }

  private static IAuthenticator authenticator(String password) {
    byte[] right = password.getBytes(StandardCharsets.UTF_8);
    return (client, user, given) -> given != null && Arrays.equals(given, right);
  }

  @Override
  public void stop() {
    Server running = server;
    if (running != null) {
      running.stopServer();
      server = null;
    }
  }

  @Override
  public BrokerUrl url() {
    return new BrokerUrl(false, "127.0.0.1", port);
  }

  @Override
  public void close() {
    // The library's stop lasts two seconds, which nobody has to wait for.
    Thread thread = new Thread(this::stop, "test-broker-stop");
    thread.setDaemon(true);
    thread.start();
  }
}
