package org.cellherd;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.cellherd.json.JsonReader;

/**
 * Debian's Chromium without a window, with a profile of its own that is thrown away. Open {@link
 * BrowserTab}s in it; one start costs about a second, so share one in a test class.
 */
public final class Browser implements AutoCloseable {

  private static final int MEBI = 1 << 20;
  private static final List<String> FLAGS =
      List.of(
          "--headless=new",
          "--no-sandbox",
          "--disable-gpu",
          "--no-first-run",
          "--disable-extensions",
          "--disable-component-update",
          "--disable-background-networking",
          "--disable-dev-shm-usage",
          "--hide-scrollbars",
          "--force-color-profile=srgb",
          // Nothing but this computer has a name: a page that asks for more finds nothing.
          "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1 , EXCLUDE localhost",
          "--remote-debugging-port=0",
          // Else the list under its address line is drawn by two pages of its own at each start.
          "--disable-features=WebUIOmniboxPopup,WebUIOmniboxAimPopup",
          // Else it draws its own page of news beside what is measured.
          "about:blank");

  private final Process process;
  private final Path profile;
  private final HttpClient http = HttpClient.newHttpClient();
  private final int port;

  private Browser(Process process, Path profile) {
    this.process = process;
    this.profile = profile;
    Path told = profile.resolve("DevToolsActivePort");
    Await.until("Chromium tells its port", () -> Files.exists(told) && lines(told).size() >= 2);
    this.port = Integer.parseInt(lines(told).get(0));
  }

  /** Starts it; skips the test where Chromium is not installed. */
  public static Browser start() {
    Path program = Tools.require("chromium");
    try {
      Path profile = Files.createTempDirectory("cellherd-browser");
      ProcessBuilder builder = new ProcessBuilder(program.toString());
      builder.command().add("--user-data-dir=" + profile);
      builder.command().addAll(FLAGS);
      builder.redirectErrorStream(true).redirectOutput(profile.resolve("output").toFile());
      return new Browser(builder.start(), profile);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** An empty tab, 1400 x 900, light. */
  public BrowserTab tab() {
    HttpRequest request =
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + port + "/json/new?about:blank"))
            .PUT(HttpRequest.BodyPublishers.noBody())
            .build();
    try {
      String answer = http.send(request, HttpResponse.BodyHandlers.ofString(UTF_8)).body();
      String socket = reader().read(answer).text("webSocketDebuggerUrl").orElseThrow();
      return BrowserTab.open(http, URI.create(socket));
    } catch (IOException | JsonReader.Problem e) {
      throw new IllegalStateException("Chromium opens no tab", e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(e);
    }
  }

  static JsonReader reader() {
    return new JsonReader(new JsonReader.Limits(64 * MEBI, 150, 64 * MEBI, 4 * MEBI));
  }

  private static List<String> lines(Path file) {
    try {
      return Files.readAllLines(file);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Override
  public void close() {
    process.descendants().forEach(ProcessHandle::destroyForcibly);
    process.destroyForcibly();
    try {
      process.waitFor(5, TimeUnit.SECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    try (Stream<Path> files = Files.walk(profile)) {
      files.sorted(Comparator.reverseOrder()).forEach(path -> path.toFile().delete());
    } catch (IOException | UncheckedIOException stillWritten) {
      profile.toFile().deleteOnExit();
    }
  }
}
