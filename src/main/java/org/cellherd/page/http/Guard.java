package org.cellherd.page.http;

import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpHandler;
import java.io.IOException;
import java.io.OutputStream;
import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import org.cellherd.json.JsonText;
import org.jspecify.annotations.Nullable;

/**
 * Stands before everything that is served: name, door, limits, and the headers that keep a browser
 * from doing what the page does not ask for. Any thread.
 */
public final class Guard implements HttpHandler {

  /** Nothing but our own files; no script in the page itself. */
  public static final String POLICY =
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src"
          + " 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

  private static final Logger LOG = System.getLogger(Guard.class.getName());
  private static final int LONGEST_TARGET = 2_000;
  private static final int PIECE = 65_536;

  private static final Map<String, String> ALWAYS =
      Map.of(
          "Content-Security-Policy",
          POLICY,
          "X-Content-Type-Options",
          "nosniff",
          "Referrer-Policy",
          "same-origin",
          "Cross-Origin-Resource-Policy",
          "same-origin",
          "Cross-Origin-Opener-Policy",
          "same-origin",
          "Cache-Control",
          "no-store");

  private final Door door;
  private final Routes routes;
  private final Login login;
  private final Patience patience;

  /** What is behind the guard. */
  public interface Routes {
    /** Answers a request that was let in; null when it has taken the exchange over. */
    @Nullable Answer answer(HttpExchange exchange) throws IOException;
  }

  /** A guard of some routes. */
  public Guard(Door door, Routes routes, Login login, Patience patience) {
    this.door = door;
    this.routes = routes;
    this.login = login;
    this.patience = patience;
  }

  @Override
  public void handle(HttpExchange exchange) throws IOException {
    Answer answer;
    try {
      answer = judged(exchange);
    } catch (RuntimeException unexpected) {
      LOG.log(Level.WARNING, "page: " + exchange.getRequestURI().getPath(), unexpected);
      answer = Answer.text(500, "something went wrong; the program's log says what");
    }
    if (answer != null) {
      send(exchange, answer);
    }
  }

  private @Nullable Answer judged(HttpExchange exchange) throws IOException {
    if (!door.isAskedByOurName(exchange)) {
      return Answer.text(
          421, "this name is not served; add it to names = [...] of [page], or ask by IP address");
    }
    if (exchange.getRequestURI().toString().length() > LONGEST_TARGET) {
      return Answer.text(414, "that address is too long");
    }
    boolean posts = exchange.getRequestMethod().equals("POST");
    if (!posts && !exchange.getRequestMethod().equals("GET") && !isHead(exchange)) {
      return Answer.text(405, "only GET, HEAD and POST").with("Allow", "GET, HEAD, POST");
    }
    if (posts && !door.isFromOurPage(exchange)) {
      return Answer.text(403, "refused: sent by a page of another site");
    }
    return login.isFor(exchange)
        ? login.answer(exchange)
        : switch (door.judge(exchange)) {
          case OPEN -> routes.answer(exchange);
          case ASK -> login.ask(exchange);
          case WRONG -> login.ask(exchange).with("Set-Cookie", Door.clearCookie());
          case SLOWED -> login.slowed(exchange);
        };
  }

  static boolean isHead(HttpExchange exchange) {
    return exchange.getRequestMethod().equals("HEAD");
  }

  private void send(HttpExchange exchange, Answer answer) throws IOException {
    patience.begin();
    try (exchange) {
      setHeaders(exchange);
      Answer sent =
          answer.isWorthPacking() && Packed.isAccepted(exchange) ? answer.packed() : answer;
      sent.eachHeader(exchange.getResponseHeaders()::set);
      boolean empty = isHead(exchange) || sent.length() == 0 || sent.status() == 304;
      exchange.sendResponseHeaders(sent.status(), empty ? -1 : sent.length());
      if (!empty) {
        write(exchange.getResponseBody(), sent.body());
      }
    } finally {
      patience.end();
    }
  }

  /** In pieces: a long answer may take its time as long as somebody takes it. */
  private void write(OutputStream out, byte[] body) throws IOException {
    for (int at = 0; at < body.length; at += PIECE) {
      patience.begin();
      out.write(body, at, Math.min(PIECE, body.length - at));
    }
  }

  /** The headers of every answer. */
  public static void setHeaders(HttpExchange exchange) {
    ALWAYS.forEach(exchange.getResponseHeaders()::set);
  }

  /** A refusal as JSON, for scripts. */
  static Answer refusal(int status, String text) {
    return Answer.of(
        status,
        "application/json",
        ("{\"error\":" + JsonText.quoted(text) + "}").getBytes(StandardCharsets.UTF_8));
  }
}
