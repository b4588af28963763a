package org.cellherd.page;

import java.net.InetAddress;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import org.cellherd.json.JsonReader;
import org.jspecify.annotations.Nullable;

/**
 * Cuts requests out of a connection's bytes (HTTP/1.1, RFC 9112). Strict where two readers could
 * differ, and bounded: a head, then a body of a stated length; no body in chunks. One thread.
 */
final class RequestReader {

  /** Bytes of a request line and its headers. */
  static final int MOST_HEAD = 16_384;

  /** Bytes of a body: the longest message that is understood. */
  static final int MOST_BODY = JsonReader.Limits.MESSAGE.bytes();

  private static final int MOST_HEADERS = 60;
  private static final int MOST_TARGET = 2_000;
  private static final Pattern METHOD = Pattern.compile("[A-Z]{1,16}");
  private static final Pattern TARGET = Pattern.compile("/[!-~]*");
  private static final Pattern NAME = Pattern.compile("[!#$%&'*+.^_`|~0-9A-Za-z-]+");
  private static final Pattern CONTROL = Pattern.compile("[\\x00-\\x08\\x0a-\\x1f\\x7f]");
  private static final Pattern LENGTH = Pattern.compile("[0-9]{1,9}");

  private byte[] bytes = new byte[0];
  private int length;
  private int searched;
  private @Nullable Head head;

  sealed interface Step permits Whole, Refused {}

  /** A whole request; {@code isLast} when its sender wants no more on this connection. */
  record Whole(HttpRequest request, boolean isLast) implements Step {}

  /** What is no request of ours; the rest of the connection means nothing. */
  record Refused(int status, String why) implements Step {}

  private record Head(
      String method, String target, Map<String, List<String>> headers, boolean isLast, int body) {}

  /** True when nothing of a next request has come. */
  boolean isEmpty() {
    return length == 0 && head == null;
  }

  /** Takes bytes, of which a caller gives no more than one request's bound before it asks. */
  void take(ByteBuffer more) {
    int count = more.remaining();
    if (length + count > bytes.length) {
      bytes = Arrays.copyOf(bytes, Math.max(length + count, 2 * bytes.length));
    }
    more.get(bytes, length, count);
    length += count;
  }

  /** The next request or refusal; empty when more bytes are needed. */
  Optional<Step> next(InetAddress from) {
    if (head == null) {
      int end = endOfHead();
      if (end < 0) {
        return length > MOST_HEAD ? Optional.of(tooLong()) : Optional.empty();
      }
      if (end > MOST_HEAD) {
        return Optional.of(tooLong());
      }
      String text = new String(bytes, 0, end - 4, StandardCharsets.ISO_8859_1);
      drop(end);
      Step refused = read(text.strip());
      if (refused != null) {
        return Optional.of(refused);
      }
    }
    Head whole = head;
    if (whole == null || length < whole.body()) {
      return Optional.empty();
    }
    String body = new String(bytes, 0, whole.body(), StandardCharsets.UTF_8);
    drop(whole.body());
    head = null;
    return Optional.of(
        new Whole(
            new HttpRequest(whole.method(), whole.target(), whole.headers(), body, from, false),
            whole.isLast()));
  }

  private static Refused tooLong() {
    return new Refused(431, "the headers are too long");
  }

  /** Index behind the empty line that ends a head; negative when it has not come. */
  private int endOfHead() {
    for (int at = Math.max(3, searched); at < length; at++) {
      if (bytes[at] == '\n'
          && bytes[at - 1] == '\r'
          && bytes[at - 2] == '\n'
          && bytes[at - 3] == '\r'
          && !isBlank(at - 3)) {
        return at + 1;
      }
    }
    searched = length;
    return -1;
  }

  /** Empty lines before a request are skipped (RFC 9112, section 2.2). */
  private boolean isBlank(int end) {
    for (int at = 0; at < end; at++) {
      if (bytes[at] != '\r' && bytes[at] != '\n') {
        return false;
      }
    }
    return true;
  }

  private void drop(int count) {
    bytes = Arrays.copyOfRange(bytes, count, length);
    length -= count;
    searched = 0;
  }

  /** Understands a head; a refusal, or null when it is kept for its body. */
  private @Nullable Refused read(String text) {
    String[] lines = text.split("\r\n", -1);
    String[] first = lines[0].split(" ", -1);
    boolean isRequest =
        first.length == 3
            && METHOD.matcher(first[0]).matches()
            && TARGET.matcher(first[1]).matches();
    if (!isRequest || !isEscapedWell(first[1])) {
      return new Refused(400, "that is no request");
    }
    if (!first[2].equals("HTTP/1.1") && !first[2].equals("HTTP/1.0")) {
      return new Refused(505, "only HTTP/1.1 is spoken here");
    }
    if (first[1].length() > MOST_TARGET) {
      return new Refused(414, "that address is too long");
    }
    Map<String, List<String>> headers = new LinkedHashMap<>();
    if (lines.length - 1 > MOST_HEADERS) {
      return new Refused(431, "there are too many headers");
    }
    for (String line : Arrays.asList(lines).subList(1, lines.length)) {
      int colon = line.indexOf(':');
      if (colon < 1
          || !NAME.matcher(line.substring(0, colon)).matches()
          || CONTROL.matcher(line).find()) {
        return new Refused(400, "a header is none");
      }
      headers
          .computeIfAbsent(
              line.substring(0, colon).toLowerCase(Locale.ROOT), n -> new ArrayList<>())
          .add(line.substring(colon + 1).strip());
    }
    boolean isLast =
        first[2].equals("HTTP/1.0")
            || headers.getOrDefault("connection", List.of()).stream()
                .anyMatch(c -> c.toLowerCase(Locale.ROOT).contains("close"));
    return body(new Head(first[0], first[1], headers, isLast, 0));
  }

  private static boolean isEscapedWell(String target) {
    try {
      return !HttpRequest.unescaped(target).isEmpty();
    } catch (IllegalArgumentException broken) {
      return false;
    }
  }

  /** How long the body is; what could be read in two ways is refused. */
  private @Nullable Refused body(Head begun) {
    List<String> lengths = begun.headers().getOrDefault("content-length", List.of());
    if (begun.headers().containsKey("transfer-encoding")) {
      return new Refused(411, "send the body whole, with its Content-Length");
    }
    if (begun.headers().containsKey("expect")) {
      return new Refused(417, "send the body at once");
    }
    if (lengths.size() > 1 || (lengths.size() == 1 && !LENGTH.matcher(lengths.get(0)).matches())) {
      return new Refused(400, "Content-Length is no length");
    }
    int body = lengths.isEmpty() ? 0 : Integer.parseInt(lengths.get(0));
    if (body > MOST_BODY) {
      return new Refused(413, "the body is too long");
    }
    head = new Head(begun.method(), begun.target(), begun.headers(), begun.isLast(), body);
    return null;
  }
}
