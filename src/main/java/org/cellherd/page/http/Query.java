package org.cellherd.page.http;

import com.sun.net.httpserver.HttpExchange;
import java.net.URLDecoder;
import java.nio.charset.StandardCharsets;
import java.util.Optional;

/** What stands behind the question mark of an address. */
public final class Query {

  private static final int MOST = 20;

  private Query() {}

  /** The value of a name; empty when it is absent or its escapes are broken. */
  public static Optional<String> value(HttpExchange exchange, String name) {
    String query = exchange.getRequestURI().getRawQuery();
    if (query == null) {
      return Optional.empty();
    }
    for (String pair : query.split("&", MOST)) {
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
}
