package org.cellherd.mqtt.link;

import java.io.IOException;
import java.net.Socket;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;

/**
 * Knows the sockets of one connection, to close them. The client library cannot give up while it
 * waits for a broker's first answer: its threads end only when their socket does. Any thread.
 */
final class OpenSockets {

  private final Set<Socket> sockets = ConcurrentHashMap.newKeySet();
  private volatile boolean cut;

  /** Takes charge of a socket. */
  <S extends Socket> S add(S socket) {
    sockets.add(socket);
    if (cut) {
      close(socket);
    }
    return socket;
  }

  void cut() {
    cut = true;
    sockets.forEach(OpenSockets::close);
  }

  private static void close(Socket socket) {
    try {
      socket.close();
    } catch (IOException gone) {
      // That is what was wanted.
    }
  }
}
