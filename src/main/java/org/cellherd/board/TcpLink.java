package org.cellherd.board;

import java.io.Closeable;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.StandardSocketOptions;
import java.nio.ByteBuffer;
import java.nio.channels.SelectionKey;
import java.nio.channels.Selector;
import java.nio.channels.SocketChannel;
import org.cellherd.pack.Gap;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.modbus.Mbap;
import org.jspecify.annotations.Nullable;

/**
 * A serial line behind a network bridge that passes bytes as they are; the bridge owns the line's
 * settings. The pieces in which bytes arrive mean nothing. One thread.
 */
public final class TcpLink implements Link {
  private static final System.Logger LOG = System.getLogger(TcpLink.class.getName());
  private static final long CONNECT_NANOS = 3_000_000_000L;
  private static final long WRITE_NANOS = 2_000_000_000L;
  private static final int MOST_DISCARDED = 1 << 16;

  private final String name;
  private final String host;
  private final int port;
  private final TimeSource time;
  private boolean carriesModbus;
  private @Nullable SocketChannel channel;
  private @Nullable Selector selector;

  /** A closed link to a host and port; {@code time} bounds its waits. */
  public TcpLink(String host, int port, TimeSource time) {
    this(new LinkAddress.Network(LinkAddress.Way.TCP, host, port).text(), host, port, time);
  }

  TcpLink(String name, String host, int port, TimeSource time) {
    this.name = name;
    this.host = host;
    this.port = port;
    this.time = time;
  }

  @Override
  public String name() {
    return name;
  }

  @Override
  public void open(LineSettings line) throws LinkException {
    close();
    InetSocketAddress address = new InetSocketAddress(host, port);
    if (address.isUnresolved()) {
      throw new LinkException(Gap.Cause.PORT_MISSING, name + ": no such host");
    }
    try {
      Selector made = Selector.open();
      selector = made;
      SocketChannel opened = SocketChannel.open();
      channel = opened;
      opened.configureBlocking(false);
      opened.setOption(StandardSocketOptions.SO_KEEPALIVE, true);
      opened.setOption(StandardSocketOptions.TCP_NODELAY, true);
      opened.register(made, SelectionKey.OP_CONNECT);
      boolean isConnected = opened.connect(address);
      long deadline = time.monotonicNanos() + CONNECT_NANOS;
      while (!isConnected) {
        awaitReady(made, SelectionKey.OP_CONNECT, deadline, "no answer to the connection");
        isConnected = opened.finishConnect();
      }
      opened.register(made, SelectionKey.OP_READ);
    } catch (IOException e) {
      throw failed(Gap.Cause.PORT_MISSING, e);
    }
  }

  @Override
  public boolean isOpen() {
    return channel != null;
  }

  @Override
  public int pauseMs() {
    return 300;
  }

  @Override
  public boolean mayBeHalfOpen() {
    return true;
  }

  @Override
  public void write(byte[] bytes) throws LinkException {
    SocketChannel to = channel;
    Selector ready = selector;
    if (to == null || ready == null) {
      throw new LinkException(Gap.Cause.PORT_MISSING, name + ": not open");
    }
    carriesModbus = Mbap.isRtu(bytes);
    try {
      ByteBuffer rest = ByteBuffer.wrap(bytes);
      long deadline = time.monotonicNanos() + WRITE_NANOS;
      to.write(rest);
      while (rest.hasRemaining()) {
        awaitReady(ready, SelectionKey.OP_WRITE, deadline, "takes no more bytes");
        to.write(rest);
      }
    } catch (IOException e) {
      throw failed(Gap.Cause.PORT_MISSING, e);
    }
  }

  private void awaitReady(Selector ready, int operation, long deadline, String late)
      throws IOException {
    for (SelectionKey key : ready.keys()) {
      key.interestOps(operation);
    }
    long left = (deadline - time.monotonicNanos()) / 1_000_000L;
    if (left <= 0) {
      throw new IOException(late + " within the time allowed");
    }
    ready.select(left);
    ready.selectedKeys().clear();
    if (Thread.currentThread().isInterrupted()) {
      throw new IOException("interrupted");
    }
  }

  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    SocketChannel from = channel;
    Selector ready = selector;
    if (from == null || ready == null) {
      throw new LinkException(Gap.Cause.PORT_MISSING, name + ": not open");
    }
    try {
      ByteBuffer target = ByteBuffer.wrap(buffer);
      int n = from.read(target);
      if (n == 0 && timeoutMs > 0) {
        for (SelectionKey key : ready.keys()) {
          key.interestOps(SelectionKey.OP_READ);
        }
        ready.select(timeoutMs);
        ready.selectedKeys().clear();
        n = from.read(target);
      }
      if (n < 0) {
        throw new IOException("closed by the other side");
      }
      return n;
    } catch (IOException e) {
      throw failed(Gap.Cause.PORT_MISSING, e);
    }
  }

  @Override
  public String advice() {
    return carriesModbus ? "a device that speaks Modbus TCP itself is modbus-" + name : "";
  }

  @Override
  public void discardInput() throws LinkException {
    byte[] bin = new byte[4096];
    int thrownAway = 0;
    for (int n = read(bin, 0); n > 0 && thrownAway < MOST_DISCARDED; n = read(bin, 0)) {
      thrownAway += n;
    }
  }

  private LinkException failed(Gap.Cause cause, IOException e) {
    close();
    String why = e.getMessage();
    return new LinkException(
        cause, name + ": " + (why == null ? e.getClass().getSimpleName() : why), e);
  }

  @Override
  public void close() {
    closeQuietly(channel);
    closeQuietly(selector);
    channel = null;
    selector = null;
  }

  private static void closeQuietly(@Nullable Closeable what) {
    try {
      if (what != null) {
        what.close();
      }
    } catch (IOException e) {
      LOG.log(System.Logger.Level.DEBUG, "a socket did not close", e);
    }
  }
}
