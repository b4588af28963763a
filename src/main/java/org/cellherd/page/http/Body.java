package org.cellherd.page.http;

import com.sun.net.httpserver.HttpExchange;
import java.io.IOException;
import java.nio.charset.StandardCharsets;

/** Bodies of requests, bounded. */
public final class Body {

  private Body() {}

  /** At most so many bytes as text; "" for a longer one, and for one that is cut up wrongly. */
  public static String text(HttpExchange exchange, int mostBytes) throws IOException {
    try {
      byte[] bytes = exchange.getRequestBody().readNBytes(mostBytes + 1);
      return bytes.length > mostBytes ? "" : new String(bytes, StandardCharsets.UTF_8);
    } catch (IndexOutOfBoundsException sizeOfChunk) {
      // The JDK's reader does not check a chunk's size: "ffffffff" is less than nothing.
      return "";
    }
  }
}
