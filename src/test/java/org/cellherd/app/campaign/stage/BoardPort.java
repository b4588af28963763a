package org.cellherd.app.campaign.stage;

import java.io.IOException;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.util.Arrays;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import org.cellherd.board.FarSide;
import org.jspecify.annotations.Nullable;

/**
 * A wire behind a TCP port, as a serial bridge has it, with all that such a bridge can do wrong.
 */
public final class BoardPort implements AutoCloseable {

  /** How it treats connections. */
  public enum Manner {
    /** As it should. */
    HONEST,
    /** Nobody listens on the port. */
    REFUSING,
    /** Takes everybody and hangs up at once. */
    HANGING_UP,
    /** Connections stay open and nothing more comes from them, nor is any new one answered. */
    HALF_OPEN,
    /** Every byte in a packet of its own. */
    DRIBBLING
  }

  private static final int READ_MS = 20;

  private final FarSide wire;
  private final int port;
  private final Set<Socket> open = ConcurrentHashMap.newKeySet();
  private volatile Manner manner = Manner.HONEST;
  private volatile @Nullable ServerSocket server;
  private volatile boolean isClosed;

  /** Listens on a free port of loopback. */
  public BoardPort(FarSide wire) throws IOException {
    this.wire = wire;
    ServerSocket first = listen(0);
    this.port = first.getLocalPort();
    this.server = first;
    Threads.start("board-port", this::accept);
    Threads.start("board-plug", this::watchPlug);
  }

  /** Where it listens. */
  public int port() {
    return port;
  }

  /** How it behaves from now on; who was connected under the old manner loses the line. */
  public void become(Manner next) throws IOException {
    boolean keeps = next == Manner.HALF_OPEN || next == Manner.DRIBBLING;
    manner = next;
    if (!keeps) {
      hangUp(false);
    }
    ServerSocket old = server;
    if (next == Manner.REFUSING && old != null) {
      server = null;
      old.close();
    } else if (next != Manner.REFUSING && old == null) {
      server = listen(port);
    }
  }

  /** Ends all connections: in order, or by a reset. */
  public void hangUp(boolean byReset) {
    for (Socket socket : open) {
      try {
        if (byReset) {
          socket.setSoLinger(true, 0);
        }
        socket.close();
      } catch (IOException already) {
        // Nothing more to close.
      }
    }
    open.clear();
  }

  private static ServerSocket listen(int port) throws IOException {
    ServerSocket socket = new ServerSocket();
    socket.setReuseAddress(true);
    socket.bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), port), 8);
    return socket;
  }

  private void accept() {
    while (!isClosed) {
      ServerSocket now = server;
      if (now == null) {
        Threads.pause(50);
        continue;
      }
      try {
        Socket socket = now.accept();
        if (manner == Manner.HANGING_UP || !wire.isPlugged()) {
          socket.close();
          continue;
        }
        open.add(socket);
        Threads.start("board-talk", () -> talk(socket));
      } catch (IOException refusing) {
        // The port was closed under us, or is to be.
      }
    }
  }

  private void watchPlug() {
    while (!isClosed) {
      if (!wire.isPlugged()) {
        hangUp(false);
      }
      Threads.pause(50);
    }
  }

  private void talk(Socket socket) {
    byte[] buffer = new byte[512];
    try (socket) {
      socket.setSoTimeout(READ_MS);
      socket.setTcpNoDelay(true);
      InputStream in = socket.getInputStream();
      while (!socket.isClosed()) {
        int n = read(in, buffer);
        if (n < 0) {
          return;
        }
        answer(socket, Arrays.copyOf(buffer, n));
      }
    } catch (IOException gone) {
      // As connections go.
    } finally {
      open.remove(socket);
    }
  }

  private static int read(InputStream in, byte[] buffer) throws IOException {
    try {
      return in.read(buffer);
    } catch (SocketTimeoutException nothing) {
      return 0;
    }
  }

  private void answer(Socket socket, byte[] sent) throws IOException {
    if (manner == Manner.HALF_OPEN) {
      return;
    }
    byte[] answer;
    long late;
    synchronized (wire) {
      answer = sent.length > 0 ? wire.exchange(sent) : wire.announced();
      late = sent.length > 0 ? wire.delayNanos() : 0;
    }
    if (late > 0) {
      Threads.pause(TimeUnit.NANOSECONDS.toMillis(late));
    }
    if (manner == Manner.DRIBBLING) {
      for (byte each : answer) {
        socket.getOutputStream().write(each);
        Threads.pause(2);
      }
    } else if (answer.length > 0) {
      socket.getOutputStream().write(answer);
    }
  }

  @Override
  public void close() throws IOException {
    isClosed = true;
    become(Manner.REFUSING);
  }
}
