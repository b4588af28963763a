package org.cellherd.page;

import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/**
 * How the page is served.
 *
 * @param listen address and port; port 0 takes a free one
 * @param token what opens the page; empty only where the address is a loopback one
 * @param names host names under which browsers may ask, beside IP addresses and {@code localhost}
 * @param reports folder of finished reports, if any
 */
public record PageSettings(
    InetSocketAddress listen, Optional<Token> token, List<String> names, Optional<Path> reports) {

  /** Where the page is unless told otherwise. */
  public static final int PORT = 8467;

  /** Refuses an open page beyond this computer. */
  public PageSettings {
    names = List.copyOf(names);
    if (listen.isUnresolved()) {
      throw new IllegalArgumentException("no address " + listen.getHostString());
    }
    if (token.isEmpty() && !listen.getAddress().isLoopbackAddress()) {
      throw new IllegalArgumentException("beyond loopback a token is needed");
    }
  }

  /** On this computer only, without a token. */
  public static PageSettings loopback(int port) {
    return new PageSettings(
        new InetSocketAddress(InetAddress.getLoopbackAddress(), port),
        Optional.empty(),
        List.of(),
        Optional.empty());
  }
}
