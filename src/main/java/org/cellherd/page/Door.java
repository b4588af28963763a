package org.cellherd.page;

import java.util.List;
import java.util.Optional;
import org.cellherd.pack.TimeSource;

/** Who may come in. Any thread. */
final class Door {

  /** A year: a phone should not ask again each month. */
  private static final String KEPT = "; Path=/; HttpOnly; SameSite=Strict; Max-Age=31536000";

  private static final String COOKIE = "cellherd=";
  private static final String BEARER = "Bearer ";
  private static final int MOST_COOKIES = 50;

  private final Optional<PageSettings.Token> token;
  private final HostCheck hosts;
  private final Attempts attempts;

  public Door(PageSettings settings, TimeSource time) {
    this.token = settings.token();
    this.hosts = new HostCheck(settings.names());
    this.attempts = new Attempts(time);
  }

  /** What somebody is told at the door. */
  enum Verdict {
    /** Come in. */
    OPEN,
    /** Nothing was given: ask for the token. */
    ASK,
    /** Something wrong was given. */
    WRONG,
    /** Something was given from where others were wrong before: judge it after the wait. */
    LATER
  }

  /** True when the request names a host that is us, once. */
  boolean isAskedByOurName(HttpRequest request) {
    List<String> host = request.all("Host");
    return host.size() == 1 && hosts.admits(host.get(0));
  }

  /**
   * True unless a browser says that another site's page sends the request. Together with the
   * content type, which no form of another site can send, it keeps strangers' pages from acting.
   */
  boolean isFromOurPage(HttpRequest request) {
    String site = request.header("Sec-Fetch-Site").orElse("none");
    if (!site.equals("same-origin") && !site.equals("none")) {
      return false;
    }
    Optional<String> origin = request.header("Origin");
    String host = request.header("Host").orElse("");
    return origin.isEmpty()
        || origin.get().equals("http://" + host)
        || origin.get().equals("https://" + host);
  }

  /** True for who holds the key, or needs none; judges nobody. */
  boolean isOwners(HttpRequest request) {
    return token.isEmpty()
        || hasCookie(request)
        || bearer(request).filter(this::isToken).isPresent();
  }

  /** Looks at cookie or bearer token. */
  Verdict judge(HttpRequest request) {
    // A cookie is 256 bits, which nobody guesses; an old one is no guess but a browser's memory.
    if (token.isEmpty() || hasCookie(request)) {
      return Verdict.OPEN;
    }
    Optional<String> bearer = bearer(request);
    if (bearer.isPresent()) {
      return judge(request, bearer.get());
    }
    return cookies(request).isEmpty() ? Verdict.ASK : Verdict.WRONG;
  }

  /** Looks at a token that was typed in. */
  Verdict judge(HttpRequest request, String given) {
    String place = Caller.place(request.from());
    if (!request.isLate() && token.isPresent() && attempts.isGuessing(place)) {
      return Verdict.LATER;
    }
    if (token.isEmpty() || isToken(given.strip())) {
      return Verdict.OPEN;
    }
    attempts.failed(place);
    return Verdict.WRONG;
  }

  private boolean isToken(String given) {
    return token.isPresent() && token.get().isToken(given);
  }

  private boolean hasCookie(HttpRequest request) {
    List<String> cookies = cookies(request);
    return token.isPresent() && cookies.size() == 1 && token.get().isCookie(cookies.get(0));
  }

  private static Optional<String> bearer(HttpRequest request) {
    return request
        .header("Authorization")
        .filter(given -> given.startsWith(BEARER))
        .map(given -> given.substring(BEARER.length()).strip());
  }

  /** The header that lets a browser in from now on. */
  String setCookie() {
    return COOKIE + token.map(PageSettings.Token::cookie).orElse("") + KEPT;
  }

  /** The header that makes a browser forget. */
  static String clearCookie() {
    return COOKIE + "; Path=/; HttpOnly; SameSite=Strict; Max-Age=0";
  }

  private static List<String> cookies(HttpRequest request) {
    return request.all("Cookie").stream()
        .flatMap(line -> List.of(line.split(";", MOST_COOKIES)).stream())
        .map(String::strip)
        .filter(part -> part.startsWith(COOKIE))
        .map(part -> part.substring(COOKIE.length()))
        .toList();
  }
}
