package org.cellherd;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;

/** A TCP port of this computer that nobody listens on. */
public final class FreePort {

  private FreePort() {}

  /** One that was free a moment ago. */
  public static int find() {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
