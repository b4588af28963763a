package org.cellherd.app.campaign.stage;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.IntFunction;

/** Who comes to the local page: strangers who do harm, and its owner. */
public final class Strangers {

  /** An owner who is turned away is told so at once; how long a busy computer takes is no fault. */
  private static final int PATIENCE_MS = 60_000;

  private final int port;

  /** At a page of this computer. */
  public Strangers(int port) {
    this.port = port;
  }

  /** Opens connections that say something and then nothing more, until closed. */
  public AutoCloseable hold(int count, String text) {
    List<Socket> held = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      try {
        Socket socket = new Socket(InetAddress.getLoopbackAddress(), port);
        held.add(socket);
        socket.getOutputStream().write(text.getBytes(StandardCharsets.ISO_8859_1));
      } catch (IOException turnedAway) {
        // As it may.
      }
    }
    return () -> {
      for (Socket socket : held) {
        socket.close();
      }
    };
  }

  /** Asks for things one after the other. */
  public AutoCloseable ask(int count, IntFunction<String> path, String host) {
    for (int i = 0; i < count; i++) {
      try {
        answer(path.apply(i), host);
      } catch (IOException turnedAway) {
        // As it may.
      }
    }
    return () -> {};
  }

  /** The owner opens the page; tells what was wrong with it. */
  public Optional<String> ownerLooks() {
    long from = System.nanoTime();
    try {
      String status = answer("/", "127.0.0.1:" + port).get(0);
      long ms = (System.nanoTime() - from) / 1_000_000;
      return status.contains(" 200 ")
          ? Optional.empty()
          : Optional.of("the owner was answered \"" + status + "\" after " + ms + " ms");
    } catch (IOException | IndexOutOfBoundsException none) {
      long ms = (System.nanoTime() - from) / 1_000_000;
      return Optional.of("the owner got no page in " + ms + " ms (" + none.getMessage() + ")");
    }
  }

  /** The alerts that the page shows, as JSON; empty when it shows nothing. */
  public Optional<String> alerts() {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), port)) {
      socket.setSoTimeout(PATIENCE_MS);
      String request = "GET /api/events HTTP/1.1\r\nHost: 127.0.0.1:" + port + "\r\n\r\n";
      socket.getOutputStream().write(request.getBytes(StandardCharsets.US_ASCII));
      BufferedReader in = reader(socket);
      String line = in.readLine();
      while (line != null && !line.equals("event: alerts")) {
        line = in.readLine();
      }
      return Optional.ofNullable(in.readLine()).map(l -> l.replaceFirst("^data: ", ""));
    } catch (IOException none) {
      return Optional.empty();
    }
  }

  private static BufferedReader reader(Socket socket) throws IOException {
    return new BufferedReader(
        new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8));
  }

  private List<String> answer(String path, String host) throws IOException {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), port)) {
      socket.setSoTimeout(PATIENCE_MS);
      String request =
          "GET " + path + " HTTP/1.1\r\nHost: " + host + "\r\nConnection: close\r\n\r\n";
      socket.getOutputStream().write(request.getBytes(StandardCharsets.US_ASCII));
      return reader(socket).lines().toList();
    } catch (UncheckedIOException broken) {
      throw broken.getCause();
    }
  }
}
