package org.cellherd.page;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;

/** What is answered to a request, small enough to be held in memory. Immutable. */
final class Answer {

  /** RFC 9110, section 5.6.7. */
  private static final DateTimeFormatter DATE =
      DateTimeFormatter.ofPattern("EEE, dd MMM uuuu HH:mm:ss 'GMT'", Locale.ROOT)
          .withZone(ZoneOffset.UTC);

  private final int status;
  private final String type;
  private final byte[] body;
  private final Map<String, String> headers;

  private Answer(int status, String type, byte[] body, Map<String, String> headers) {
    this.status = status;
    this.type = type;
    this.body = body;
    this.headers = headers;
  }

  /** An answer of some bytes, which the caller gives away. */
  public static Answer of(int status, String type, byte[] body) {
    return new Answer(status, type, body, Map.of());
  }

  /** A page. */
  public static Answer html(int status, String text) {
    return of(status, "text/html; charset=utf-8", text.getBytes(StandardCharsets.UTF_8));
  }

  /** Data. */
  public static Answer json(String text) {
    return of(200, "application/json", text.getBytes(StandardCharsets.UTF_8));
  }

  /** A line of plain text. */
  public static Answer text(int status, String text) {
    return of(status, "text/plain; charset=utf-8", (text + "\n").getBytes(StandardCharsets.UTF_8));
  }

  /** Go there. */
  public static Answer seeOther(String path) {
    return text(303, "see " + path).with("Location", path);
  }

  /** The same with a header, which replaces one of that name. */
  public Answer with(String name, String value) {
    Map<String, String> more = new LinkedHashMap<>(headers);
    more.put(name, value);
    return new Answer(status, type, body, more);
  }

  /** The same, packed. */
  Answer packed() {
    return new Answer(status, type, Packed.gzip(body), headers).with("Content-Encoding", "gzip");
  }

  /** True when packing is worth its time. */
  boolean isWorthPacking() {
    boolean isText = type.startsWith("text/") || type.startsWith("application/json");
    return isText && body.length > 1_400 && !headers.containsKey("Content-Encoding");
  }

  byte[] body() {
    return body;
  }

  /** The same, where these headers are its own unless it has others. */
  Answer over(Map<String, String> always) {
    Map<String, String> all = new LinkedHashMap<>(always);
    all.putAll(headers);
    return new Answer(status, type, body, all);
  }

  /** False for an answer that never has a body (RFC 9110, section 15.4.5). */
  boolean hasBody() {
    return status != 304;
  }

  /**
   * Status line and headers as they are sent (RFC 9112).
   *
   * @param isLast true when the connection ends with this answer
   * @param goesOn true when the body is of unknown length and ends with the connection
   */
  byte[] head(boolean isLast, boolean goesOn, long wallMs) {
    StringBuilder head = new StringBuilder(512).append("HTTP/1.1 ").append(status).append(" \r\n");
    headers.forEach((name, value) -> line(head, name, value));
    line(head, "Content-Type", type);
    line(head, "Date", DATE.format(Instant.ofEpochMilli(wallMs)));
    if (hasBody() && !goesOn) {
      line(head, "Content-Length", Integer.toString(body.length));
    }
    if (isLast) {
      line(head, "Connection", "close");
    }
    return head.append("\r\n").toString().getBytes(StandardCharsets.ISO_8859_1);
  }

  private static void line(StringBuilder head, String name, String value) {
    head.append(name).append(": ").append(value).append("\r\n");
  }
}
