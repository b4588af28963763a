package org.cellherd.mqtt.link;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.net.SocketAddress;
import java.net.SocketException;
import javax.net.ssl.HandshakeCompletedListener;
import javax.net.ssl.SSLParameters;
import javax.net.ssl.SSLSession;
import javax.net.ssl.SSLSocket;
import javax.net.ssl.SSLSocketFactory;
import org.jspecify.annotations.Nullable;

/** A TLS socket whose packets are watched over; all else goes straight to the real one. */
final class GuardedTlsSocket extends SSLSocket {

  private final SSLSocket real;
  private final FirstWord firstWord = new FirstWord();
  private final Payloads payloads;
  private @Nullable InputStream guarded;

  private GuardedTlsSocket(SSLSocket real, Payloads payloads) {
    this.real = real;
    this.payloads = payloads;
  }

  /** Makes them around those of another factory. */
  static final class Factory extends SSLSocketFactory {
    private final SSLSocketFactory real;
    private final OpenSockets openSockets;
    private final Payloads payloads;

    Factory(SSLSocketFactory real, OpenSockets openSockets, Payloads payloads) {
      this.real = real;
      this.openSockets = openSockets;
      this.payloads = payloads;
    }

    @Override
    public Socket createSocket() throws IOException {
      return wrap(real.createSocket());
    }

    @Override
    public Socket createSocket(Socket socket, String host, int port, boolean close)
        throws IOException {
      return wrap(real.createSocket(socket, host, port, close));
    }

    @Override
    public Socket createSocket(String host, int port) throws IOException {
      return wrap(real.createSocket(host, port));
    }

    @Override
    public Socket createSocket(String host, int port, InetAddress local, int localPort)
        throws IOException {
      return wrap(real.createSocket(host, port, local, localPort));
    }

    @Override
    public Socket createSocket(InetAddress host, int port) throws IOException {
      return wrap(real.createSocket(host, port));
    }

    @Override
    public Socket createSocket(InetAddress host, int port, InetAddress local, int localPort)
        throws IOException {
      return wrap(real.createSocket(host, port, local, localPort));
    }

    @Override
    public String[] getDefaultCipherSuites() {
      return real.getDefaultCipherSuites();
    }

    @Override
    public String[] getSupportedCipherSuites() {
      return real.getSupportedCipherSuites();
    }

    private Socket wrap(Socket socket) throws IOException {
      if (socket instanceof SSLSocket tls) {
        return openSockets.add(new GuardedTlsSocket(tls, payloads));
      }
      throw new IOException("a TLS socket factory made a socket without TLS");
    }
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
  public void connect(SocketAddress address) throws IOException {
    real.connect(address);
  }

  @Override
  public void connect(SocketAddress address, int timeoutMs) throws IOException {
    real.connect(address, timeoutMs);
    real.setTcpNoDelay(true);
  }

  @Override
  public synchronized void close() throws IOException {
    real.close();
  }

  @Override
  public void shutdownInput() throws IOException {
    real.shutdownInput();
  }

  @Override
  public void shutdownOutput() throws IOException {
    real.shutdownOutput();
  }

  @Override
  public boolean isConnected() {
    return real.isConnected();
  }

  @Override
  public boolean isClosed() {
    return real.isClosed();
  }

  @Override
  public synchronized void setSoTimeout(int timeoutMs) throws SocketException {
    real.setSoTimeout(timeoutMs);
  }

  @Override
  public synchronized int getSoTimeout() throws SocketException {
    return real.getSoTimeout();
  }

  @Override
  public void setTcpNoDelay(boolean on) throws SocketException {
    real.setTcpNoDelay(on);
  }

  @Override
  public SSLParameters getSSLParameters() {
    return real.getSSLParameters();
  }

  @Override
  public void setSSLParameters(SSLParameters parameters) {
    real.setSSLParameters(parameters);
  }

  @Override
  public void startHandshake() throws IOException {
    real.startHandshake();
  }

  @Override
  public SSLSession getSession() {
    return real.getSession();
  }

  @Override
  public SSLSession getHandshakeSession() {
    return real.getHandshakeSession();
  }

  @Override
  public String[] getSupportedCipherSuites() {
    return real.getSupportedCipherSuites();
  }

  @Override
  public String[] getEnabledCipherSuites() {
    return real.getEnabledCipherSuites();
  }

  @Override
  public void setEnabledCipherSuites(String[] suites) {
    real.setEnabledCipherSuites(suites);
  }

  @Override
  public String[] getSupportedProtocols() {
    return real.getSupportedProtocols();
  }

  @Override
  public String[] getEnabledProtocols() {
    return real.getEnabledProtocols();
  }

  @Override
  public void setEnabledProtocols(String[] protocols) {
    real.setEnabledProtocols(protocols);
  }

  @Override
  public void addHandshakeCompletedListener(HandshakeCompletedListener listener) {
    real.addHandshakeCompletedListener(listener);
  }

  @Override
  public void removeHandshakeCompletedListener(HandshakeCompletedListener listener) {
    real.removeHandshakeCompletedListener(listener);
  }

  @Override
  public void setUseClientMode(boolean client) {
    real.setUseClientMode(client);
  }

  @Override
  public boolean getUseClientMode() {
    return real.getUseClientMode();
  }

  @Override
  public void setNeedClientAuth(boolean need) {
    real.setNeedClientAuth(need);
  }

  @Override
  public boolean getNeedClientAuth() {
    return real.getNeedClientAuth();
  }

  @Override
  public void setWantClientAuth(boolean want) {
    real.setWantClientAuth(want);
  }

  @Override
  public boolean getWantClientAuth() {
    return real.getWantClientAuth();
  }

  @Override
  public void setEnableSessionCreation(boolean may) {
    real.setEnableSessionCreation(may);
  }

  @Override
  public boolean getEnableSessionCreation() {
    return real.getEnableSessionCreation();
  }
}
