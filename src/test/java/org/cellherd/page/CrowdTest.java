package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.stream.LongStream;
import org.cellherd.Await;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * The owner among strangers: whatever a drawn crowd does, from however many addresses, the owner is
 * answered as if it were alone, and nothing is left of the crowd. Repeat a draw by its seed.
 */
final class CrowdTest {

  private static final String SECRET = "a-secret-of-24-characters";

  /** Strangers who are there at once: twice what the page bears of connections. */
  private static final int CROWD = 256;

  private static final int COMINGS = 600;

  /** A third of the shortest time that the page grants anybody, so nobody is waited for. */
  private static final int OWNER_MS = 3_000;

  private final StandingWall time = new StandingWall(TestPacks.NOON);
  private final TestPage page =
      TestPage.of(TestPage.locked(SECRET), TestPacks.one(), TestPage.NO_HISTORY, time);
  private final Deque<RudeClient> crowd = new ArrayDeque<>();

  @AfterEach
  void stop() throws IOException {
    for (RudeClient stranger : crowd) {
      stranger.close();
    }
    page.close();
  }

  static LongStream seeds() {
    return LongStream.of(1, 2, 3, Long.getLong("cellherd.seed", System.nanoTime()));
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void theOwnerIsAnsweredAmongStrangers(long seed) throws IOException {
    Random random = new Random(seed);
    int addresses = 1 << random.nextInt(9);
    RudeClient.Kind only = random.nextInt(3) == 0 ? kind(random) : null;
    long threads = pageThreads();

    for (int coming = 0; coming < COMINGS; coming++) {
      int place = random.nextInt(addresses);
      InetAddress from = InetAddress.getByAddress(new byte[] {127, 7, 0, (byte) (place + 1)});
      RudeClient.Kind kind = only == null ? kind(random) : only;
      // One stranger's port has the page's number: ports are drawn an address.
      int port = coming == COMINGS - 1 ? page.local().address().getPort() : 0;
      crowd.add(
          RudeClient.connect(
              kind, random, new InetSocketAddress(from, port), page.local().address()));
      crowd.forEach(s -> act(s, random));
      if (crowd.size() > CROWD) {
        crowd.remove().close();
      }
      if (coming % 40 == 39) {
        assertThat(asOwner()).as("seed %d, after %d strangers", seed, coming + 1).contains("200");
      }
    }

    String draw = "seed " + seed;
    assertThat(pageThreads()).as(draw).isLessThanOrEqualTo(threads + 4);
    Await.until(
        "the page lets go of who does nothing, " + draw,
        () -> {
          time.leap(60_000);
          return connections() == 0;
        });
  }

  private static void act(RudeClient stranger, Random random) {
    if (random.nextInt(8) == 0) {
      stranger.act();
    }
  }

  private static RudeClient.Kind kind(Random random) {
    List<RudeClient.Kind> kinds = List.of(RudeClient.Kind.values());
    return kinds.get(random.nextInt(kinds.size()));
  }

  /** The status line that the owner gets on a new connection from an address of its own. */
  private String asOwner() throws IOException {
    try (Socket socket = new Socket()) {
      socket.setSoTimeout(OWNER_MS);
      socket.connect(page.local().address(), OWNER_MS);
      String request =
          "GET /metrics HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: Bearer "
              + SECRET
              + "\r\n\r\n";
      socket.getOutputStream().write(request.getBytes(StandardCharsets.US_ASCII));
      return new String(socket.getInputStream().readNBytes(12), StandardCharsets.US_ASCII);
    }
  }

  private static long pageThreads() {
    return Thread.getAllStackTraces().keySet().stream()
        .filter(t -> t.getName().startsWith("page-"))
        .count();
  }

  /** Connections that the kernel holds open at the page's own end, of IPv4 and IPv6. */
  private long connections() {
    // 127.0.0.1, as both tables write it.
    String end = String.format(Locale.ROOT, "0100007F:%04X", page.local().address().getPort());
    return held("tcp", end) + held("tcp6", end);
  }

  private static long held(String table, String end) {
    try {
      // Column 1 is our end, column 3 the state: 01 established, 08 waits for us to close.
      return Files.readAllLines(Path.of("/proc/self/net", table)).stream()
          .map(line -> List.of(line.strip().split("\\s+", 5)))
          .filter(column -> column.size() > 4 && column.get(1).endsWith(end))
          .filter(column -> column.get(3).equals("01") || column.get(3).equals("08"))
          .count();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
