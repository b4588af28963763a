package org.cellherd.page.http;

import com.sun.net.httpserver.HttpExchange;
import java.io.IOException;
import java.net.URLDecoder;
import java.nio.charset.StandardCharsets;
import java.util.function.Function;

/** Asks for the token and takes it. Any thread. */
public final class Login {

  /** Where the form is sent. */
  public static final String PATH = "/login";

  private static final int MOST_BYTES = 1_024;

  private final Door door;
  private final Function<String, String> page;

  /**
   * A login.
   *
   * @param page the HTML that asks, with a line of what was wrong, or ""
   */
  public Login(Door door, Function<String, String> page) {
    this.door = door;
    this.page = page;
  }

  boolean isFor(HttpExchange exchange) {
    String path = exchange.getRequestURI().getPath();
    return PATH.equals(path) || path.startsWith(Assets.OPEN_PATH);
  }

  /** What the form's page needs is open; the form itself is judged. */
  Answer answer(HttpExchange exchange) throws IOException {
    String path = exchange.getRequestURI().getPath();
    if (path.startsWith(Assets.OPEN_PATH)) {
      return Assets.answer(exchange, path.substring(Assets.OPEN_PATH.length()));
    }
    if (!exchange.getRequestMethod().equals("POST")) {
      return Answer.html(200, page.apply(""));
    }
    String given = token(Body.text(exchange, MOST_BYTES));
    return switch (door.judge(exchange, given)) {
      case OPEN -> Answer.seeOther("/").with("Set-Cookie", door.setCookie());
      case SLOWED -> slowed(exchange);
      case ASK, WRONG -> Answer.html(401, page.apply("That is not the token."));
    };
  }

  Answer ask(HttpExchange exchange) {
    String path = exchange.getRequestURI().getPath();
    String accepted = exchange.getRequestHeaders().getFirst("Accept");
    boolean isPerson = accepted != null && accepted.contains("text/html");
    return (isPerson && !path.startsWith("/api/")
            ? Answer.html(401, page.apply(""))
            : Guard.refusal(401, "the token is needed"))
        .with("WWW-Authenticate", "Bearer");
  }

  Answer slowed(HttpExchange exchange) {
    long wait = Math.max(1, door.waitS(exchange));
    return Answer.html(429, page.apply("Too many wrong tokens; wait " + wait + " s."))
        .with("Retry-After", Long.toString(wait));
  }

  private static String token(String form) {
    for (String pair : form.split("&", 10)) {
      if (pair.startsWith("token=")) {
        try {
          return URLDecoder.decode(pair.substring("token=".length()), StandardCharsets.UTF_8);
        } catch (IllegalArgumentException brokenEscape) {
          return "";
        }
      }
    }
    return "";
  }
}
