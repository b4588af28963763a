package org.cellherd.app.soak;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;

/** The network between a publisher and its broker, which can be cut and mended. */
final class BrokenPath implements AutoCloseable {

  private final ServerSocket server;
  private final int brokerPort;
  private final Set<Socket> open = ConcurrentHashMap.newKeySet();
  private volatile boolean isCut;

  BrokenPath(int brokerPort) throws IOException {
    this.brokerPort = brokerPort;
    this.server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    start("path", this::accept);
  }

  int port() {
    return server.getLocalPort();
  }

  /** Ends all connections; new ones are closed at once. */
  void cut() {
    isCut = true;
    open.forEach(BrokenPath::closeQuietly);
    open.clear();
  }

  void mend() {
    isCut = false;
  }

  private void accept() {
    while (!server.isClosed()) {
      try {
        Socket near = server.accept();
        if (isCut) {
          closeQuietly(near);
          continue;
        }
        Socket far = new Socket(InetAddress.getLoopbackAddress(), brokerPort);
        open.add(near);
        open.add(far);
        start("path-out", () -> copy(near, far));
        start("path-in", () -> copy(far, near));
      } catch (IOException ended) {
        // Asked to end, or one connection that came to nothing.
      }
    }
  }

  private void copy(Socket from, Socket to) {
    byte[] buffer = new byte[4096];
    try {
      InputStream in = from.getInputStream();
      OutputStream out = to.getOutputStream();
      for (int n = in.read(buffer); n >= 0 && !isCut; n = in.read(buffer)) {
        out.write(buffer, 0, n);
      }
    } catch (IOException cut) {
      // As a cut line does.
    } finally {
      closeQuietly(from);
      closeQuietly(to);
      open.remove(from);
      open.remove(to);
    }
  }

  private static void start(String name, Runnable work) {
    Thread thread = new Thread(work, name);
    thread.setDaemon(true);
    thread.start();
  }

  private static void closeQuietly(Socket socket) {
    try {
      socket.close();
    } catch (IOException already) {
      // Nothing more to close.
    }
  }

  @Override
  public void close() throws IOException {
    server.close();
    cut();
  }
}
