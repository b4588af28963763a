package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.InputStream;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketException;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.util.Base64;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.Await;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Who comes in, and what strangers get. */
final class DoorTest {

  private static final String SECRET = "a-secret-of-24-characters";

  private final StandingWall time = new StandingWall(TestPacks.NOON);
  private TestPage page = start(TestPage.locked(SECRET));

  private TestPage start(PageSettings settings) {
    return TestPage.of(settings, TestPacks.one(), TestPage.NO_HISTORY, time);
  }

  private void restart(PageSettings settings) {
    page.close();
    page = start(settings);
  }

  @AfterEach
  void stop() {
    page.close();
  }

  private HttpResponse<String> login(String token) {
    return page.send(
        page.request("/login")
            .header("Content-Type", "application/x-www-form-urlencoded")
            .POST(HttpRequest.BodyPublishers.ofString("token=" + token)));
  }

  /** The status line of a request written by hand. */
  private String raw(String request) throws IOException {
    return raw(request, "127.0.0.1");
  }

  /** The same from another address of 127/8. */
  private String raw(String request, String from) throws IOException {
    try (Socket socket = new Socket()) {
      socket.bind(new InetSocketAddress(from, 0));
      socket.connect(page.local().address());
      socket.setSoTimeout(15_000);
      socket.getOutputStream().write(request.getBytes(StandardCharsets.ISO_8859_1));
      InputStream in = socket.getInputStream();
      return new String(in.readNBytes(12), StandardCharsets.ISO_8859_1);
    } catch (SocketException reset) {
      return "hung up";
    }
  }

  @Test
  void beyondLoopbackATokenIsNeeded() {
    InetSocketAddress everywhere = new InetSocketAddress("0.0.0.0", 0);

    assertThatThrownBy(
            () -> new PageSettings(everywhere, Optional.empty(), List.of(), Optional.empty()))
        .hasMessageContaining("a token is needed");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/",
        "/metrics",
        "/api/past?pack=crate&span=2026",
        "/api/events",
        "/reports",
        "/x"
      })
  void nothingIsShownWithoutTheToken(String path) {
    HttpResponse<String> answer = page.get(path);

    assertThat(answer.statusCode()).isEqualTo(401);
    assertThat(answer.body()).doesNotContain("crate").doesNotContain("3.3");
  }

  @Test
  void theTokenIsGivenOnceAndBecomesACookieThatOutlastsARestart() {
    HttpResponse<String> answer = login(SECRET);

    assertThat(answer.statusCode()).isEqualTo(303);
    String cookie = answer.headers().firstValue("Set-Cookie").orElseThrow();
    assertThat(cookie).contains("HttpOnly").contains("SameSite=Strict").doesNotContain(SECRET);
    restart(TestPage.locked(SECRET));
    String value = cookie.substring(0, cookie.indexOf(';'));
    assertThat(page.send(page.request("/").header("Cookie", value)).statusCode()).isEqualTo(200);
  }

  @Test
  void aCollectorGivesTheTokenAsBearer() {
    HttpRequest.Builder request =
        page.request("/metrics").header("Authorization", "Bearer " + SECRET);

    assertThat(page.send(request).statusCode()).isEqualTo(200);
  }

  @Test
  void aCookieOfAnotherTokenIsForgotten() {
    String old = PageSettings.Token.of("another-secret-1234567".toCharArray()).cookie();

    HttpResponse<String> answer = page.send(page.request("/").header("Cookie", "cellherd=" + old));

    assertThat(answer.statusCode()).isEqualTo(401);
    assertThat(answer.headers().firstValue("Set-Cookie").orElse("")).contains("Max-Age=0");
  }

  @Test
  void whereTokensWereGuessedTheNextIsJudgedLateButIsJudged() {
    for (int i = 0; i < 3; i++) {
      assertThat(login("guess-" + i).statusCode()).isEqualTo(401);
    }
    CompletableFuture<Integer> late =
        CompletableFuture.supplyAsync(() -> login(SECRET).statusCode());
    assertThat(late.completeOnTimeout(0, 1, TimeUnit.SECONDS).join()).isZero();

    CompletableFuture<Integer> right =
        CompletableFuture.supplyAsync(() -> login(SECRET).statusCode());
    Await.until(
        "the right token opens",
        () -> {
          time.leap(1_000);
          return right.isDone();
        });
    assertThat(right.join()).isEqualTo(303);
  }

  @Test
  void manyWrongTokensFromElsewhereLockNobodyOut() throws IOException {
    String guess = "GET / HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer x\r\n\r\n";
    for (int i = 0; i < 90; i++) {
      assertThat(raw(guess, "127.0.9." + (1 + i / 3))).contains("401");
    }

    assertThat(login(SECRET).statusCode()).isEqualTo(303);
  }

  @Test
  void guessersDoNotLockOutWhoIsIn() {
    String cookie = "cellherd=" + PageSettings.Token.of(SECRET.toCharArray()).cookie();
    for (int i = 0; i < 4; i++) {
      login("guess-" + i);
    }

    assertThat(page.send(page.request("/").header("Cookie", cookie)).statusCode()).isEqualTo(200);
  }

  @Test
  void aNameThatIsNotOursIsRefused() throws IOException {
    restart(TestPage.open());

    assertThat(raw("GET / HTTP/1.1\r\nHost: evil.example\r\n\r\n")).contains("421");
    assertThat(raw("GET / HTTP/1.1\r\n\r\n")).contains("421");
    assertThat(raw("GET / HTTP/1.1\r\nHost: a\r\nHost: localhost\r\n\r\n")).contains("421");
    assertThat(raw("GET / HTTP/1.1\r\nHost: 127.0.0.1.evil.example:80\r\n\r\n")).contains("421");
    assertThat(raw("GET / HTTP/1.1\r\nHost: LOCALHOST:8467\r\n\r\n")).contains("200");
    assertThat(raw("GET / HTTP/1.1\r\nHost: [::1]:8467\r\n\r\n")).contains("200");
  }

  @Test
  void aBodyCutUpWronglyIsNoFaultOfOurs() throws IOException {
    String form = "POST /login HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n";

    assertThat(raw(form + "fffffff0\r\ntoken=x")).contains("411");
  }

  @Test
  void aPackWithoutAnIdIsNone() throws IOException {
    restart(TestPage.open());

    assertThat(page.get("/pack/past").statusCode()).isEqualTo(404);
    assertThat(page.get("/pack/").statusCode()).isEqualTo(404);
  }

  @Test
  void theOwnersNamesAreServed() throws IOException {
    assertThat(raw("GET /asset/page.css HTTP/1.1\r\nHost: cabin.lan:8467\r\n\r\n")).contains("200");
  }

  @Test
  void anotherSitesPageCannotAcknowledge() {
    restart(TestPage.open());
    page.page().event(TestPacks.raised("a-1", "Cell 3 runs ahead."));
    String body = "{\"id\":\"a-1\"}";

    HttpRequest.Builder foreign =
        page.request("/api/seen")
            .header("Content-Type", "application/json")
            .header("Origin", "http://evil.example")
            .POST(HttpRequest.BodyPublishers.ofString(body));
    HttpRequest.Builder form =
        page.request("/api/seen")
            .header("Content-Type", "text/plain")
            .POST(HttpRequest.BodyPublishers.ofString(body));
    HttpRequest.Builder crossSite =
        page.request("/api/seen")
            .header("Content-Type", "application/json")
            .header("Sec-Fetch-Site", "cross-site")
            .POST(HttpRequest.BodyPublishers.ofString(body));

    assertThat(page.send(foreign).statusCode()).isEqualTo(403);
    assertThat(page.send(form).statusCode()).isEqualTo(415);
    assertThat(page.send(crossSite).statusCode()).isEqualTo(403);
    assertThat(page.seen()).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"", "{", "[]", "{\"id\":5}", "{\"id\":\"nobody\"}", "{\"id\":\"a\",\"id\":\"b\"}"})
  void onlyAStandingAlertCanBeSeen(String body) {
    restart(TestPage.open());

    HttpResponse<String> answer =
        page.send(
            page.request("/api/seen")
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString(body)));

    assertThat(answer.statusCode()).isBetween(400, 404);
    assertThat(page.seen()).isEmpty();
  }

  @Test
  void noScriptStandsInAnyPageButTheOneThatThePolicyNamesByItsHash() throws Exception {
    restart(TestPage.open());
    for (String path : List.of("/", "/pack/crate", "/pack/crate/past", "/login")) {
      HttpResponse<String> answer = page.get(path);
      String policy = answer.headers().firstValue("Content-Security-Policy").orElseThrow();
      boolean isLive = policy.contains("sha256");

      assertThat(answer.statusCode()).as(path).isEqualTo(200);
      assertThat(policy.replaceAll("'sha256-[^']*'", "'self'")).isEqualTo(Guard.POLICY);
      assertThat(isLive).isEqualTo(path.equals("/") || path.equals("/pack/crate"));
      for (String tag : List.of("style", "script type=\"module\"")) {
        Matcher inline =
            Pattern.compile("(?s)<" + tag + ">(.*?)</" + tag.replaceAll(" .*", "") + ">")
                .matcher(answer.body());
        assertThat(inline.find()).as(path + tag).isEqualTo(isLive);
        if (isLive) {
          byte[] sum =
              MessageDigest.getInstance("SHA-256")
                  .digest(inline.group(1).getBytes(StandardCharsets.UTF_8));
          String hash = "'sha256-" + Base64.getEncoder().encodeToString(sum) + "'";
          assertThat(policy).contains(tag.replaceAll(" .*", "") + "-src " + hash + ";");
          assertThat(inline.find()).isFalse();
        }
      }
      assertThat(answer.body()).doesNotContainPattern("<[a-z][^>]* style=");
      assertThat(answer.body())
          .doesNotContainPattern("<script(?! type=\"(module|application/json)\"|[^>]* src=)");
      assertThat(answer.body()).doesNotContainPattern("<[^>]* on[a-z]+=");
      assertThat(answer.headers().firstValue("X-Content-Type-Options")).contains("nosniff");
    }
  }

  @Test
  void oversizedAndOddRequestsAreRefused() throws IOException {
    restart(TestPage.open());
    String host = "Host: localhost\r\n";

    assertThat(raw("PUT / HTTP/1.1\r\n" + host + "Content-Length: 0\r\n\r\n")).contains("405");
    assertThat(raw("GET /" + "x".repeat(3_000) + " HTTP/1.1\r\n" + host + "\r\n")).contains("414");
    assertThat(raw("GET / HTTP/1.1\r\n" + host + "X: " + "y".repeat(40_000) + "\r\n\r\n"))
        .doesNotContain("200");
    assertThat(raw("GET /pack/%2e%2e%2f HTTP/1.1\r\n" + host + "\r\n")).contains("404");
    assertThat(page.get("/").statusCode()).isEqualTo(200);
  }
}
