package org.cellherd.page;

import java.io.IOException;
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
final class Guard {

  /** Nothing but our own files; no script in the page itself but what a page names by its hash. */
  public static final String POLICY =
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src"
          + " 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

  private static final Logger LOG = System.getLogger(Guard.class.getName());

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

  /** What is behind the guard. */
  public interface Routes {
    /**
     * Answers a request that was let in; null when the reply is kept for an answer that goes on.
     */
    @Nullable Answer answer(HttpRequest request, Reply reply) throws IOException;
  }

  public Guard(Door door, Routes routes, Login login) {
    this.door = door;
    this.routes = routes;
    this.login = login;
  }

  /** True when a request shows that it is the owner's; quick, asked by the listener's thread. */
  boolean isOwners(HttpRequest request) {
    return door.isOwners(request);
  }

  /** Answers, on one of a few threads that must not be held up. */
  void handle(HttpRequest request, Reply reply) {
    Answer answer;
    try {
      answer = judged(request, reply);
    } catch (IOException | RuntimeException unexpected) {
      LOG.log(Level.WARNING, "page: " + request.path(), unexpected);
      answer = Answer.text(500, "something went wrong; the program's log says what");
    }
    if (answer != null) {
      boolean packs = answer.isWorthPacking() && request.takesPacked();
      reply.send(dressed(packs ? answer.packed() : answer));
    }
  }

  private @Nullable Answer judged(HttpRequest request, Reply reply) throws IOException {
    if (!door.isAskedByOurName(request)) {
      return Answer.text(
          421, "this name is not served; add it to names = [...] of [page], or ask by IP address");
    }
    boolean posts = request.is("POST");
    if (!posts && !request.is("GET") && !request.is("HEAD")) {
      return Answer.text(405, "only GET, HEAD and POST").with("Allow", "GET, HEAD, POST");
    }
    if (posts && !door.isFromOurPage(request)) {
      return Answer.text(403, "refused: sent by a page of another site");
    }
    if (login.isFor(request)) {
      Answer answer = login.answer(request);
      return answer == null ? later(reply) : answer;
    }
    return switch (door.judge(request)) {
      case OPEN -> routes.answer(request, reply);
      case ASK -> login.ask(request);
      case WRONG -> login.ask(request).with("Set-Cookie", Door.clearCookie());
      case LATER -> later(reply);
    };
  }

  private static @Nullable Answer later(Reply reply) {
    reply.later(Attempts.WAIT_NANOS);
    return null;
  }

  /** The text of one of the page's own files. */
  public static String asset(String name) {
    return Assets.text(name);
  }

  /** An answer with the headers that every one has. */
  public static Answer dressed(Answer answer) {
    return answer.over(ALWAYS);
  }

  /** A refusal as JSON, for scripts. */
  static Answer refusal(int status, String text) {
    return Answer.of(
        status,
        "application/json",
        ("{\"error\":" + JsonText.quoted(text) + "}").getBytes(StandardCharsets.UTF_8));
  }
}
