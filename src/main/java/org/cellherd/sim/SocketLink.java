package org.cellherd.sim;

import java.io.IOException;
import java.net.Socket;
import java.net.SocketTimeoutException;
import org.cellherd.board.Link;
import org.cellherd.board.LinkException;
import org.cellherd.pack.Gap;
import org.cellherd.protocol.LineSettings;

/** A connection that somebody made to us, as a link that is already open. */
final class SocketLink implements Link {

  private final Socket socket;
  private final String name;

  SocketLink(Socket socket) throws IOException {
    this.socket = socket;
    this.name = "listener " + socket.getRemoteSocketAddress();
    socket.setTcpNoDelay(true);
  }

  @Override
  public String name() {
    return name;
  }

  @Override
  public void open(LineSettings line) {
    if (socket.isClosed()) {
      throw new IllegalStateException(name + " cannot be opened again");
    }
  }

  @Override
  public boolean isOpen() {
    return !socket.isClosed();
  }

  @Override
  public void write(byte[] bytes) throws LinkException {
    try {
      socket.getOutputStream().write(bytes);
    } catch (IOException e) {
      throw failure(e);
    }
  }

  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    try {
      socket.setSoTimeout(Math.max(1, timeoutMs));
      int got = socket.getInputStream().read(buffer);
      if (got < 0) {
        throw failure(new IOException("closed by the listener"));
      }
      return got;
    } catch (SocketTimeoutException nothing) {
      return 0;
    } catch (IOException e) {
      throw failure(e);
    }
  }

  private LinkException failure(IOException e) {
    close();
    return new LinkException(Gap.Cause.PORT_MISSING, name + ": " + e.getMessage(), e);
  }

  @Override
  public void discardInput() throws LinkException {
    try {
      socket.getInputStream().skip(socket.getInputStream().available());
    } catch (IOException e) {
      throw failure(e);
    }
  }

  @Override
  public void close() {
    try {
      socket.close();
    } catch (IOException ignored) {
      // The other side is gone already.
    }
  }
}
