package org.cellherd.mqtt.link;

import java.net.URI;
import java.net.URISyntaxException;

/**
 * Where a broker listens.
 *
 * @param tls true for {@code mqtts}
 * @param host name or address, without brackets
 * @param port 1 to 65535
 */
public record BrokerUrl(boolean tls, String host, int port) {

  private static final int PLAIN_PORT = 1883;
  private static final int TLS_PORT = 8883;

  /** Refuses what cannot be reached. */
  public BrokerUrl {
    if (host.isEmpty() || port < 1 || port > 65_535) {
      throw new IllegalArgumentException("no broker at host '" + host + "' port " + port);
    }
  }

  /**
   * Reads {@code mqtt://host[:1883]} or {@code mqtts://host[:8883]}.
   *
   * @throws IllegalArgumentException saying what would be right
   */
  public static BrokerUrl of(String text) {
    try {
      URI uri = new URI(text.strip());
      boolean tls = "mqtts".equals(uri.getScheme());
      if (!tls && !"mqtt".equals(uri.getScheme())) {
        throw wrong(text, "begins with neither mqtt:// nor mqtts://");
      }
      if (uri.getUserInfo() != null) {
        throw wrong(text, "holds a user: give user and password file apart from it");
      }
      if (uri.getHost() == null || !uri.getPath().matches("/?") || uri.getQuery() != null) {
        throw wrong(text, "is not just a host and a port");
      }
      int port = uri.getPort() == -1 ? (tls ? TLS_PORT : PLAIN_PORT) : uri.getPort();
      return new BrokerUrl(tls, uri.getHost().replaceAll("[\\[\\]]", ""), port);
    } catch (URISyntaxException e) {
      throw wrong(text, "is not a URL");
    }
  }

  private static IllegalArgumentException wrong(String text, String why) {
    String shown = text.replaceAll("//[^/@]*@", "//...@");
    return new IllegalArgumentException(
        "'" + shown + "' " + why + "; such as mqtt://broker.lan:1883 or mqtts://broker.lan:8883");
  }

  /** Host and port for messages. */
  public String hostAndPort() {
    return (host.contains(":") ? "[" + host + "]" : host) + ":" + port;
  }

  /** In the words of the client library; TLS is the matter of our own sockets. */
  String clientUri() {
    return "tcp://" + hostAndPort();
  }

  @Override
  public String toString() {
    return (tls ? "mqtts://" : "mqtt://") + hostAndPort();
  }
}
