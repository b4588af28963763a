package org.cellherd.sim;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.util.function.BooleanSupplier;
import org.cellherd.board.FarSide;
import org.cellherd.board.Link;
import org.cellherd.board.LinkException;
import org.cellherd.pack.Gap;
import org.cellherd.pack.TimeSource;

/**
 * Puts the boards of a wire on a TCP port of this machine, one listener at a time. While the cable
 * is pulled it hangs up and takes nobody. One thread serves; any may close.
 */
public final class TcpBoardServer implements AutoCloseable {

  private static final int ACCEPT_MS = 50;
  private static final int READ_MS = 5;

  private final FarSide wire;
  private final TimeSource time;
  private final ServerSocket server;
  private final boolean isModbusTcp;

  /**
   * Opens the port on the loopback address.
   *
   * @param port 1 to 65535, or 0 for any free one
   * @param isModbusTcp true to speak Modbus TCP for boards that speak Modbus RTU
   * @throws LinkException when it cannot be had; the message names it
   */
  public TcpBoardServer(FarSide wire, TimeSource time, int port, boolean isModbusTcp)
      throws LinkException {
    this.isModbusTcp = isModbusTcp;
    this.wire = wire;
    this.time = time;
    try {
      server = new ServerSocket();
      server.setReuseAddress(true);
      server.setSoTimeout(ACCEPT_MS);
      server.bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), port), 1);
    } catch (IOException e) {
      throw new LinkException(
          Gap.Cause.PORT_MISSING, "TCP port " + port + " cannot be opened: " + e.getMessage(), e);
    }
  }

  public int port() {
    return server.getLocalPort();
  }

  /**
   * Serves one listener after the other until told to stop or closed.
   *
   * @throws InterruptedException when its thread is interrupted
   */
  public void serve(BooleanSupplier goesOn) throws InterruptedException {
    while (goesOn.getAsBoolean() && !server.isClosed()) {
      try (Socket socket = server.accept()) {
        if (wire.isPlugged()) {
          talk(socket, goesOn);
        }
      } catch (SocketTimeoutException nobody) {
        wire.announced();
      } catch (IOException hungUp) {
        // The next listener is waited for.
      }
    }
  }

  private void talk(Socket socket, BooleanSupplier goesOn)
      throws IOException, InterruptedException {
    Link bytes = new SocketLink(socket);
    Link link = isModbusTcp ? new ModbusTcpServed(bytes) : bytes;
    BoardServer boards = new BoardServer(wire, time);
    try {
      while (goesOn.getAsBoolean() && wire.isPlugged() && !server.isClosed()) {
        boards.answer(link, READ_MS);
      }
    } catch (LinkException gone) {
      // The next listener is waited for.
    }
  }

  @Override
  public void close() {
    try {
      server.close();
    } catch (IOException e) {
      throw new IllegalStateException("cannot close port " + port(), e);
    }
  }
}
