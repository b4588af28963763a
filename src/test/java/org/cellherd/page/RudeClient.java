package org.cellherd.page;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.nio.ByteBuffer;
import java.nio.channels.SocketChannel;
import java.nio.charset.StandardCharsets;
import java.util.Random;

/** Somebody who connects to the page from an address of 127/8 and behaves badly. One thread. */
final class RudeClient implements AutoCloseable {

  /** What a stranger does. */
  enum Kind {
    /** Connects and says nothing. */
    IDLE,
    /** Sends the beginning of a request. */
    HALF,
    /** Sends a byte now and then. */
    DRIP,
    /** Sends headers for ever. */
    ENDLESS_HEADERS,
    /** Promises a body and sends a part of it. */
    HALF_BODY,
    /** Guesses the token, again and again. */
    GUESS,
    /** Asks much and reads nothing. */
    DEAF,
    /** Sends what is no request. */
    NOISE
  }

  private static final String HOST = " HTTP/1.1\r\nHost: 127.0.0.1\r\n";

  private final Kind kind;
  private final Random random;
  private final SocketChannel channel;

  private RudeClient(Kind kind, Random random, SocketChannel channel) {
    this.kind = kind;
    this.random = random;
    this.channel = channel;
  }

  /** Connects without waiting for anything. */
  static RudeClient connect(Kind kind, Random random, InetSocketAddress from, InetSocketAddress to)
      throws IOException {
    SocketChannel channel = SocketChannel.open();
    channel.socket().setReceiveBufferSize(2_048);
    channel.bind(from);
    channel.configureBlocking(false);
    channel.connect(to);
    return new RudeClient(kind, random, channel);
  }

  /** Does what its kind does, once; what the page makes of it is the page's affair. */
  void act() {
    try {
      if (channel.finishConnect()) {
        channel.write(ByteBuffer.wrap(bytes()));
      }
    } catch (IOException dropped) {
      // That is what the page may do with strangers.
    }
  }

  private byte[] bytes() {
    if (kind == Kind.NOISE) {
      byte[] noise = new byte[1 + random.nextInt(2_000)];
      random.nextBytes(noise);
      return noise;
    }
    return text().getBytes(StandardCharsets.US_ASCII);
  }

  private String text() {
    return switch (kind) {
      case IDLE, NOISE -> "";
      case HALF -> "GET /metr";
      case DRIP -> "G";
      case ENDLESS_HEADERS -> "GET /" + HOST + "X-Y: z\r\n".repeat(200);
      case HALF_BODY -> "POST /login" + HOST + "Content-Length: 900\r\n\r\ntoken=";
      case GUESS ->
          "GET /metrics" + HOST + "Authorization: Bearer guess-" + random.nextInt() + "\r\n\r\n";
      case DEAF -> ("GET /asset/plot.js" + HOST + "\r\n").repeat(40);
    };
  }

  @Override
  public void close() throws IOException {
    try (Socket socket = channel.socket()) {
      socket.setSoLinger(true, 0);
    }
  }
}
