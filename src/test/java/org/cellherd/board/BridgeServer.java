package org.cellherd.board;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;

/** A network bridge with boards behind it, on a free port of this computer. */
final class BridgeServer implements AutoCloseable {
  private final ServerSocket server;
  private final FarSide wire;
  private final List<Socket> clients = new ArrayList<>();
  final AtomicInteger connections = new AtomicInteger();

  /** Bytes of an answer sent at once; 0 for all. */
  volatile int pieces;

  /** True while what comes in is swallowed and nothing is answered. */
  volatile boolean isDeaf;

  BridgeServer(FarSide wire) throws IOException {
    this.wire = wire;
    this.server = new ServerSocket(0, 5, InetAddress.getLoopbackAddress());
    start(this::accept);
  }

  private static void start(Runnable work) {
    Thread thread = new Thread(work, "bridge");
    thread.setDaemon(true);
    thread.start();
  }

  int port() {
    return server.getLocalPort();
  }

  private void accept() {
    try {
      while (true) {
        Socket client = server.accept();
        connections.incrementAndGet();
        synchronized (clients) {
          clients.add(client);
        }
        start(() -> serve(client));
      }
    } catch (IOException e) {
      closeAll();
    }
  }

  private void serve(Socket client) {
    byte[] buffer = new byte[512];
    try (client;
        InputStream in = client.getInputStream();
        OutputStream out = client.getOutputStream()) {
      client.setTcpNoDelay(true);
      for (int n = in.read(buffer); n >= 0; n = in.read(buffer)) {
        byte[] answer = isDeaf ? new byte[0] : wire.exchange(Arrays.copyOf(buffer, n));
        int step = pieces == 0 ? Math.max(1, answer.length) : pieces;
        for (int i = 0; i < answer.length; i += step) {
          out.write(answer, i, Math.min(step, answer.length - i));
          out.flush();
        }
      }
    } catch (IOException e) {
      connections.get();
    }
  }

  void closeAll() {
    synchronized (clients) {
      for (Socket client : clients) {
        try {
          client.close();
        } catch (IOException e) {
          connections.get();
        }
      }
      clients.clear();
    }
  }

  @Override
  public void close() throws IOException {
    server.close();
    closeAll();
  }
}
