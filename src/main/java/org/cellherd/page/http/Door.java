package org.cellherd.page.http;

import com.sun.net.httpserver.Headers;
import com.sun.net.httpserver.HttpExchange;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.TimeSource;
import org.cellherd.page.PageSettings;
import org.cellherd.page.Token;

/** Who may come in. Any thread. */
public final class Door {

  /** A year: a phone should not ask again each month. */
  private static final String KEPT = "; Path=/; HttpOnly; SameSite=Strict; Max-Age=31536000";

  private static final String COOKIE = "cellherd=";
  private static final String BEARER = "Bearer ";

  private final Optional<Token> token;
  private final HostCheck hosts;
  private final Attempts attempts;

  /** A door with the settings' lock. */
  public Door(PageSettings settings, TimeSource time) {
    this.token = settings.token();
    this.hosts = new HostCheck(settings.names());
    this.attempts = new Attempts(time);
  }

  /** What somebody is told at the door. */
  public enum Verdict {
    /** Come in. */
    OPEN,
    /** Nothing was given: ask for the token. */
    ASK,
    /** Something wrong was given. */
    WRONG,
    /** Too many wrong ones before. */
    SLOWED
  }

  /** True when the request names a host that is us, once. */
  public boolean isAskedByOurName(HttpExchange exchange) {
    List<String> host = exchange.getRequestHeaders().get("Host");
    return host != null && host.size() == 1 && hosts.admits(host.get(0));
  }

  /**
   * True unless a browser says that another site's page sends the request. Together with the
   * content type, which no form of another site can send, it keeps strangers' pages from acting.
   */
  public boolean isFromOurPage(HttpExchange exchange) {
    Headers headers = exchange.getRequestHeaders();
    String site = headers.getFirst("Sec-Fetch-Site");
    if (site != null && !site.equals("same-origin") && !site.equals("none")) {
      return false;
    }
    String origin = headers.getFirst("Origin");
    return origin == null
        || origin.equals("http://" + headers.getFirst("Host"))
        || origin.equals("https://" + headers.getFirst("Host"));
  }

  /** Looks at cookie or bearer token. */
  public Verdict judge(HttpExchange exchange) {
    if (token.isEmpty()) {
      return Verdict.OPEN;
    }
    String bearer = exchange.getRequestHeaders().getFirst("Authorization");
    boolean hasBearer = bearer != null && bearer.startsWith(BEARER);
    List<String> cookies = cookies(exchange.getRequestHeaders());
    if (!hasBearer && cookies.isEmpty()) {
      return Verdict.ASK;
    }
    String address = address(exchange);
    if (attempts.waitS(address) > 0 && !isCookie(cookies)) {
      return Verdict.SLOWED;
    }
    boolean right =
        isCookie(cookies)
            || (hasBearer && token.get().isToken(bearer.substring(BEARER.length()).strip()));
    return counted(address, right);
  }

  /** Looks at a token that was typed in. */
  public Verdict judge(HttpExchange exchange, String given) {
    if (token.isEmpty()) {
      return Verdict.OPEN;
    }
    String address = address(exchange);
    if (attempts.waitS(address) > 0) {
      return Verdict.SLOWED;
    }
    return counted(address, token.get().isToken(given.strip()));
  }

  private boolean isCookie(List<String> cookies) {
    return token.isPresent() && cookies.size() == 1 && token.get().isCookie(cookies.get(0));
  }

  private Verdict counted(String address, boolean right) {
    if (right) {
      attempts.succeeded(address);
      return Verdict.OPEN;
    }
    attempts.failed(address);
    return Verdict.WRONG;
  }

  /** Seconds that the sender of a request has to wait. */
  public long waitS(HttpExchange exchange) {
    return attempts.waitS(address(exchange));
  }

  /** The header that lets a browser in from now on. */
  public String setCookie() {
    return COOKIE + token.map(Token::cookie).orElse("") + KEPT;
  }

  /** The header that makes a browser forget. */
  public static String clearCookie() {
    return COOKIE + "; Path=/; HttpOnly; SameSite=Strict; Max-Age=0";
  }

  /** Where a request comes from. */
  public static String address(HttpExchange exchange) {
    return exchange.getRemoteAddress().getAddress().getHostAddress();
  }

  private static List<String> cookies(Headers headers) {
    List<String> found = new ArrayList<>();
    for (String line : headers.getOrDefault("Cookie", List.of())) {
      for (String part : line.split(";", 50)) {
        if (part.strip().startsWith(COOKIE)) {
          found.add(part.strip().substring(COOKIE.length()));
        }
      }
    }
    return found;
  }
}
