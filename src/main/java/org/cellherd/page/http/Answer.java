package org.cellherd.page.http;

import java.nio.charset.StandardCharsets;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.BiConsumer;

/** What is answered to a request, small enough to be held in memory. Immutable. */
public final class Answer {

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

  /** The status. */
  public int status() {
    return status;
  }

  /** Length of the body in bytes. */
  public int length() {
    return body.length;
  }

  byte[] body() {
    return body;
  }

  void eachHeader(BiConsumer<String, String> consumer) {
    consumer.accept("Content-Type", type);
    headers.forEach(consumer);
  }
}
