package org.cellherd.mqtt.link;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.net.SocketAddress;
import java.net.SocketException;
import javax.net.SocketFactory;
import javax.net.ssl.SSLParameters;
import javax.net.ssl.SSLSocket;
import org.jspecify.annotations.Nullable;

/**
 * A socket whose packets are watched over. Around another one, plain or of TLS: to the client
 * library both are plain, and a connection by TLS stands when its handshake is done.
 */
final class GuardedSocket extends Socket {

  private final Socket real;
  private final FirstWord firstWord = new FirstWord();
  private final Payloads payloads;
  private @Nullable InputStream guarded;

  private GuardedSocket(Socket real, Payloads payloads) {
    this.real = real;
    this.payloads = payloads;
  }

  /** Makes them around those of another factory. */
  static final class Factory extends SocketFactory {
    private final SocketFactory real;
    private final OpenSockets openSockets;
    private final Payloads payloads;

    Factory(SocketFactory real, OpenSockets openSockets, Payloads payloads) {
      this.real = real;
      this.openSockets = openSockets;
      this.payloads = payloads;
    }

    @Override
    public Socket createSocket() throws IOException {
      return openSockets.add(new GuardedSocket(real.createSocket(), payloads));
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
    real.connect(address, timeoutMs);
    real.setTcpNoDelay(true);
    if (real instanceof SSLSocket tls) {
      shakeHands(tls, timeoutMs);
    }
  }

  /** A certificate must be for the name that was connected to, as in HTTPS. */
  private static void shakeHands(SSLSocket tls, int timeoutMs) throws IOException {
    SSLParameters parameters = tls.getSSLParameters();
    parameters.setEndpointIdentificationAlgorithm("HTTPS");
    tls.setSSLParameters(parameters);
    tls.setSoTimeout(timeoutMs);
    tls.startHandshake();
  }

  @Override
  public InputStream getInputStream() throws IOException {
    InputStream in = guarded;
    if (in == null) {
      in = payloads.without(PacketGuard.buffered(firstWord.heard(real.getInputStream())));
      guarded = in;
    }
    return in;
  }

  @Override
  public OutputStream getOutputStream() throws IOException {
    return firstWord.spoken(real.getOutputStream());
  }

  @Override
  public synchronized void setSoTimeout(int timeoutMs) throws SocketException {
    real.setSoTimeout(timeoutMs);
  }

  @Override
  public synchronized void close() throws IOException {
    real.close();
  }
}
