package org.cellherd.page;

import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/** Asks for the token and takes it. Any thread. */
final class Login {

  /** Where the form is sent. */
  public static final String PATH = "/login";

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

  boolean isFor(HttpRequest request) {
    String path = request.path();
    return PATH.equals(path) || path.startsWith(Assets.OPEN_PATH);
  }

  /** What the form's page needs is open; the form itself is judged, null when that is later. */
  @Nullable Answer answer(HttpRequest request) {
    String path = request.path();
    if (path.startsWith(Assets.OPEN_PATH)) {
      return Assets.answer(request, path.substring(Assets.OPEN_PATH.length()));
    }
    if (!request.is("POST")) {
      return Answer.html(200, page.apply(""));
    }
    return switch (door.judge(request, request.posted("token").orElse(""))) {
      case OPEN -> Answer.seeOther("/").with("Set-Cookie", door.setCookie());
      case LATER -> null;
      case ASK, WRONG -> Answer.html(401, page.apply("That is not the token."));
    };
  }

  Answer ask(HttpRequest request) {
    boolean isPerson = request.header("Accept").orElse("").contains("text/html");
    return (isPerson && !request.path().startsWith("/api/")
            ? Answer.html(401, page.apply(""))
            : Guard.refusal(401, "the token is needed"))
        .with("WWW-Authenticate", "Bearer");
  }
}
