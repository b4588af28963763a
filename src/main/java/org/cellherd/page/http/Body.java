package org.cellherd.page.http;

import com.sun.net.httpserver.HttpExchange;
import java.io.IOException;
import java.nio.charset.StandardCharsets;

/** Bodies of requests, bounded. */
public final class Body {

  private Body() {}

  /** At most so many bytes as text; "" for a longer one. */
  public static String text(HttpExchange exchange, int mostBytes) throws IOException {
    byte[] bytes = exchange.getRequestBody().readNBytes(mostBytes + 1);
    return bytes.length > mostBytes ? "" : new String(bytes, StandardCharsets.UTF_8);
  }
}
