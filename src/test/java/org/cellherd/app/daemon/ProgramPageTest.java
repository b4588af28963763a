package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.FreePort;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.Truth;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The page of the program in its own process, with its real log. */
final class ProgramPageTest {

  private static final Pattern CHARGED =
      Pattern.compile(
          "\"told\":\"Charged to the top; cell 3 was (?<lead>\\d\\.\\d+) Ah ahead"
              + " \\((?<low>\\d\\.\\d+) to (?<high>\\d\\.\\d+)\\), balanced at 1[01] Jan 2026"
              + " \\d\\d:\\d\\d\\.");

  @TempDir private Path folder;
  private final HttpClient http = HttpClient.newHttpClient();
  private int port;

  private HttpResponse<InputStream> get(String path) throws IOException, InterruptedException {
    URI address = URI.create("http://127.0.0.1:" + port + path);
    return http.send(
        HttpRequest.newBuilder(address).build(), HttpResponse.BodyHandlers.ofInputStream());
  }

  private String text(String path) {
    try (InputStream in = get(path).body()) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException notYet) {
      return "";
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return "";
    }
  }

  /** The first line of the pack's events that begins so. */
  private String event(String start) throws IOException, InterruptedException {
    try (BufferedReader lines =
        new BufferedReader(
            new InputStreamReader(get("/api/events?pack=crate").body(), StandardCharsets.UTF_8))) {
      return lines.lines().filter(l -> l.startsWith(start)).findFirst().orElse("");
    }
  }

  @Test
  void whatWasKnownBeforeARestartIsShownAsOfThen() throws IOException, InterruptedException {
    port = FreePort.find();
    try (Program board = OneBoard.start(folder, "first-night")) {
      String page = "[page]\nlisten = \"127.0.0.1:" + port + "\"\n";
      OneBoard.config(folder, OneBoard.link(board), page);
      try (Program daemon = Program.start(folder, "run")) {
        Program.until(
            () -> text("/metrics").matches("(?s).*cellherd_readings_total\\S+ ([5-9]|\\d\\d).*"),
            "five readings");
        assertThat(event("data: {\"id\":\"crate\"")).contains("\"stale\":false");
        assertThat(daemon.terminate()).isEqualTo(143);
      }
    }

    try (Program daemon = Program.start(folder, "run")) {
      Program.until(() -> !text("/metrics").isEmpty(), "the page");

      assertThat(event("data: {\"id\":\"crate\""))
          .contains("\"stale\":true")
          .contains("\"headline\":\"Not heard since ")
          .contains("\"tenth_mv\":3");
      // The strip comes from the log.
      assertThat(event("data: {\"newest\"")).containsPattern("[\\[,]-?\\d+[,\\]]");
      assertThat(text("/metrics")).doesNotContain("cellherd_cell_voltage_volts{");
      assertThat(daemon.terminate()).isEqualTo(143);
    }
  }

  /** The night's answer is said over its plots, out of the log alone. */
  @Test
  void aLookBackAtAFirstNightSaysWhoLedAndWhenItWasBalanced()
      throws IOException, InterruptedException {
    port = FreePort.find();
    Program.run(folder, "simulate", "first-night", "--log", "log.db");
    OneBoard.config(folder, "tcp:127.0.0.1:1", "[page]\nlisten = \"127.0.0.1:" + port + "\"\n");
    try (Program daemon = Program.start(folder, "run")) {
      Program.until(() -> !text("/metrics").isEmpty(), "the page");

      // At once that it is balanced; that its charge came to an end once the silence since is
      // noted.
      Matcher[] told = new Matcher[1];
      Program.until(
          () -> {
            told[0] = CHARGED.matcher(text("/api/past?pack=crate&span=2026-01-10-night"));
            return told[0].find();
          },
          "what the charge came to");
      double truth = Truth.of(Scenarios.open("first-night").rig()).leadAh(3);
      assertThat(truth)
          .as(told[0].group())
          .isBetween(Double.valueOf(told[0].group("low")), Double.valueOf(told[0].group("high")));
      assertThat(Double.parseDouble(told[0].group("lead")))
          .as("within its own bounds")
          .isBetween(Double.valueOf(told[0].group("low")), Double.valueOf(told[0].group("high")));
      assertThat(daemon.terminate()).isEqualTo(143);
    }
  }

  @Test
  void anAddressThatIsTakenIsNamedAsTheConfigHasIt() throws IOException, InterruptedException {
    try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      String listen = "127.0.0.1:" + taken.getLocalPort();
      OneBoard.config(folder, "tcp:127.0.0.1:1", "[page]\nlisten = \"" + listen + "\"\n");
      try (Program daemon = Program.start(folder, "run")) {
        daemon.awaitText("page: cannot listen on " + listen + " (Address already in use)");
      }
    }
  }
}
