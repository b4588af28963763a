package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.InetAddress;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Requests cut out of bytes, however they come (RFC 9112). */
final class RequestReaderTest {

  private static final String GET = "GET /a%20b?pack=x HTTP/1.1\r\nHost: h\r\nCookie: c=1\r\n\r\n";
  private static final String POST =
      "POST /login HTTP/1.1\r\nhost:h\r\nContent-Length: 9\r\nConnection: close\r\n\r\ntoken=abc";

  private static List<RequestReader.Step> fed(byte[] bytes, int chunk) {
    RequestReader reader = new RequestReader();
    List<RequestReader.Step> steps = new ArrayList<>();
    for (int at = 0; at < bytes.length; at += chunk) {
      reader.take(ByteBuffer.wrap(bytes, at, Math.min(chunk, bytes.length - at)));
      Optional<RequestReader.Step> step = reader.next(InetAddress.getLoopbackAddress());
      while (step.isPresent()) {
        steps.add(step.get());
        if (step.get() instanceof RequestReader.Refused) {
          return steps;
        }
        step = reader.next(InetAddress.getLoopbackAddress());
      }
    }
    return steps;
  }

  private static List<RequestReader.Step> fed(String text, int chunk) {
    return fed(text.getBytes(StandardCharsets.ISO_8859_1), chunk);
  }

  @Test
  void requestsInARowAreFoundAtEveryChunkSize() {
    String both = "\r\n" + GET + POST;
    for (int chunk = 1; chunk <= both.length(); chunk++) {
      List<RequestReader.Step> steps = fed(both, chunk);

      assertThat(steps).as("chunks of %d", chunk).hasSize(2);
      RequestReader.Whole get = (RequestReader.Whole) steps.get(0);
      RequestReader.Whole post = (RequestReader.Whole) steps.get(1);
      assertThat(get.request().path()).isEqualTo("/a b");
      assertThat(get.request().query("pack")).contains("x");
      assertThat(get.request().header("Host")).contains("h");
      assertThat(get.isLast()).isFalse();
      assertThat(post.request().posted("token")).contains("abc");
      assertThat(post.isLast()).isTrue();
    }
  }

  @Test
  void aPartOfARequestIsNone() {
    for (int length = 0; length < POST.length(); length++) {
      assertThat(fed(POST.substring(0, length), 7)).as("%d bytes", length).isEmpty();
    }
  }

  @ParameterizedTest
  @CsvSource({
    "'GET http://h/ HTTP/1.1||', 400",
    "'GET /%zz HTTP/1.1||', 400",
    "'GET / HTTP/2.0||', 505",
    "'get / HTTP/1.1||', 400",
    "'GET  / HTTP/1.1||', 400",
    "'GET / HTTP/1.1|Host : h||', 400",
    "'GET / HTTP/1.1|Host: h| folded||', 400",
    "'POST / HTTP/1.1|Content-Length: 1|Content-Length: 2||', 400",
    "'POST / HTTP/1.1|Content-Length: -1||', 400",
    "'POST / HTTP/1.1|Content-Length: 99999||', 413",
    "'POST / HTTP/1.1|Content-Length: 1|Transfer-Encoding: chunked||', 411",
    "'POST / HTTP/1.1|Expect: 100-continue||', 417"
  })
  void whatCouldBeReadInTwoWaysIsRefused(String request, int status) {
    List<RequestReader.Step> steps = fed(request.replace("|", "\r\n"), 3);

    assertThat(steps).hasSize(1);
    assertThat(((RequestReader.Refused) steps.get(0)).status()).isEqualTo(status);
  }

  @Test
  void headersWithoutEndAreRefusedAtTheBound() {
    String endless = "GET / HTTP/1.1\r\n" + "x: y\r\n".repeat(4_000);

    assertThat(((RequestReader.Refused) fed(endless, 1_000).get(0)).status()).isEqualTo(431);
  }

  @Test
  void anyBytesGiveARequestARefusalOrNothing() {
    long seed = Long.getLong("cellherd.seed", System.nanoTime());
    Random random = new Random(seed);
    for (int run = 0; run < 2_000; run++) {
      byte[] bytes = (GET + POST).getBytes(StandardCharsets.ISO_8859_1);
      for (int change = random.nextInt(12); change >= 0; change--) {
        bytes[random.nextInt(bytes.length)] = (byte) random.nextInt(256);
      }

      assertThat(fed(bytes, 1 + random.nextInt(40))).as("seed %d", seed).hasSizeLessThan(9);
    }
  }
}
