package org.cellherd.mqtt.link;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.net.SocketAddress;
import javax.net.SocketFactory;
import org.jspecify.annotations.Nullable;

/** A plain socket whose packets are watched over. */
final class GuardedSocket extends Socket {

  private final FirstWord firstWord = new FirstWord();
  private final Payloads payloads;
  private @Nullable InputStream guarded;

  private GuardedSocket(Payloads payloads) {
    this.payloads = payloads;
  }

  /** Makes them. */
  static final class Factory extends SocketFactory {
    private final OpenSockets openSockets;
    private final Payloads payloads;

    Factory(OpenSockets openSockets, Payloads payloads) {
      this.openSockets = openSockets;
      this.payloads = payloads;
    }

    @Override
    public Socket createSocket() {
      return openSockets.add(new GuardedSocket(payloads));
    }

    @Override
    public Socket createSocket(String host, int port) throws IOException {
      throw unconnected();
    }

    @Override
    public Socket createSocket(String host, int port, InetAddress local, int localPort)
        throws IOException {
      throw unconnected();
    }

    @Override
    public Socket createSocket(InetAddress host, int port) throws IOException {
      throw unconnected();
    }

    @Override
    public Socket createSocket(InetAddress host, int port, InetAddress local, int localPort)
        throws IOException {
      throw unconnected();
    }

    /** The client library connects its sockets itself. */
    private static IOException unconnected() {
      return new IOException("sockets are made unconnected here");
    }
  }

  /** Small packets go out at once: an alert and its event are two, and the first must not wait. */
  @Override
  public void connect(SocketAddress address, int timeoutMs) throws IOException {
    super.connect(address, timeoutMs);
    setTcpNoDelay(true);
  }

  @Override
  public InputStream getInputStream() throws IOException {
    InputStream in = guarded;
    if (in == null) {
      in = payloads.without(PacketGuard.buffered(firstWord.heard(super.getInputStream())));
      guarded = in;
    }
    return in;
  }

  @Override
  public OutputStream getOutputStream() throws IOException {
    return firstWord.spoken(super.getOutputStream());
  }
}
