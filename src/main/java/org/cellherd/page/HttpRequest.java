package org.cellherd.page;

import java.net.InetAddress;
import java.net.URLDecoder;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/**
 * A whole request, bounded by {@link RequestReader}. Immutable.
 *
 * @param target path and query as they came, escapes and all
 * @param headers by their names in lower case
 * @param from who sent it
 * @param isLate true when it has waited for the sake of earlier wrong tokens
 */
record HttpRequest(
    String method,
    String target,
    Map<String, List<String>> headers,
    String body,
    InetAddress from,
    boolean isLate) {

  private static final int MOST_PAIRS = 20;

  public HttpRequest {
    headers = Map.copyOf(headers);
  }

  /** The same, after it has waited. */
  HttpRequest late() {
    return new HttpRequest(method, target, headers, body, from, true);
  }

  /** True for a method's name. */
  public boolean is(String name) {
    return method.equals(name);
  }

  public String path() {
    int end = target.indexOf('?');
    return unescaped(end < 0 ? target : target.substring(0, end));
  }

  /** Text of a path; {@code +} stands for itself there. */
  static String unescaped(String path) {
    return URLDecoder.decode(path.replace("+", "%2B"), StandardCharsets.UTF_8);
  }

  /** The value of a name behind the question mark; empty when absent or its escapes are broken. */
  public Optional<String> query(String name) {
    int start = target.indexOf('?');
    return start < 0 ? Optional.empty() : value(target.substring(start + 1), name);
  }

  /** The value of a name in a posted form; empty when absent or its escapes are broken. */
  Optional<String> posted(String name) {
    return value(body, name);
  }

  private static Optional<String> value(String pairs, String name) {
    for (String pair : pairs.split("&", MOST_PAIRS)) {
      if (pair.startsWith(name + "=")) {
        try {
          String value = pair.substring(name.length() + 1);
          return Optional.of(URLDecoder.decode(value, StandardCharsets.UTF_8));
        } catch (IllegalArgumentException brokenEscape) {
          return Optional.empty();
        }
      }
    }
    return Optional.empty();
  }

  public Optional<String> header(String name) {
    return all(name).stream().findFirst();
  }

  List<String> all(String name) {
    return headers.getOrDefault(name.toLowerCase(Locale.ROOT), List.of());
  }

  /** Where it comes from. */
  public String address() {
    return from.getHostAddress();
  }

  /** True when the one who asks unpacks. */
  boolean takesPacked() {
    return header("Accept-Encoding").orElse("").contains("gzip");
  }
}
