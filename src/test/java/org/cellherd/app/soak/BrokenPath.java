package org.cellherd.app.soak;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;

/** The network between a publisher and its broker, which can be cut, mended and listened to. */
public final class BrokenPath implements AutoCloseable {

  /** Whoever hears the bytes that a publisher sends, before the broker does. */
  public interface Eavesdropper {
    void sent(byte[] buffer, int length);
  }

  private final ServerSocket server;
  private final int brokerPort;
  private final Eavesdropper ear;
  private final Set<Socket> open = ConcurrentHashMap.newKeySet();
  private volatile boolean isCut;

  BrokenPath(int brokerPort) throws IOException {
    this(brokerPort, (buffer, length) -> {});
  }

  /** A path to a broker on this computer. */
  public BrokenPath(int brokerPort, Eavesdropper ear) throws IOException {
    this.brokerPort = brokerPort;
    this.ear = ear;
    this.server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    start("path", this::accept);
  }

  /** Where a publisher connects to. */
  public int port() {
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
        start("path-out", () -> copy(near, far, ear));
        start("path-in", () -> copy(far, near, (buffer, length) -> {}));
      } catch (IOException ended) {
        // Asked to end, or one connection that came to nothing.
      }
    }
  }

  private void copy(Socket from, Socket to, Eavesdropper listening) {
    byte[] buffer = new byte[4096];
    try {
      InputStream in = from.getInputStream();
      OutputStream out = to.getOutputStream();
      for (int n = in.read(buffer); n >= 0 && !isCut; n = in.read(buffer)) {
        listening.sent(buffer, n);
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
