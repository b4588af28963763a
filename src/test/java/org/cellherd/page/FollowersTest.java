package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import org.cellherd.Await;
import org.cellherd.alert.news.PackState;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** Pages that follow, and pages that do not keep up. */
final class FollowersTest {

  private final StandingWall time = new StandingWall(TestPacks.NOON);
  private final List<Socket> sockets = new ArrayList<>();
  private TestPage page = TestPage.of(TestPage.open(), TestPacks.one(), TestPage.NO_HISTORY, time);

  @AfterEach
  void stop() throws IOException {
    for (Socket socket : sockets) {
      socket.close();
    }
    page.close();
  }

  private Socket connected(int receiveBytes) throws IOException {
    Socket socket = new Socket();
    sockets.add(socket);
    socket.setReceiveBufferSize(receiveBytes);
    socket.setSoTimeout(20_000);
    socket.connect(page.local().address());
    return socket;
  }

  private BufferedReader follow(String query, int receiveBytes) throws IOException {
    Socket socket = connected(receiveBytes);
    String request = "GET /api/events" + query + " HTTP/1.1\r\nHost: localhost\r\n\r\n";
    socket.getOutputStream().write(request.getBytes(StandardCharsets.US_ASCII));
    return new BufferedReader(
        new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8));
  }

  private static String awaitLine(BufferedReader reader, String start) throws IOException {
    String line = reader.readLine();
    while (line != null && !line.startsWith(start)) {
      line = reader.readLine();
    }
    return String.valueOf(line);
  }

  @Test
  void aFollowerIsToldEverythingAndThenWhatChanges() throws IOException {
    TestPacks.tell(page.page(), "Resting, cells within 11 mV.");
    BufferedReader reader = follow("?pack=crate", 65_536);

    assertThat(awaitLine(reader, "data: {\"now\"")).contains("\"site\":\"cabin\"");
    assertThat(awaitLine(reader, "data: {\"id\":\"crate\""))
        .contains("\"headline\":\"Resting, cells within 11 mV.\"")
        .contains("\"stale\":false")
        .contains("\"tenth_mv\":33412");
    assertThat(awaitLine(reader, "event: strip")).isEqualTo("event: strip");

    page.page().event(TestPacks.raised("a-1", "Cell 3 runs ahead."));

    assertThat(awaitLine(reader, "data: {\"alerts\":[{")).contains("Cell 3 runs ahead.");
  }

  @Test
  void aReadingThatGrewOldIsStaleAlsoWhileTheBoardCountsAsLive() throws IOException {
    TestPacks.tell(page.page(), "Charging at 5.2 A.");
    time.leap(60_000);

    BufferedReader reader = follow("?pack=crate", 65_536);

    assertThat(awaitLine(reader, "data: {\"id\":\"crate\""))
        .contains("\"stale\":true")
        .contains("\"headline\":\"Not heard since 12:00.\"");
  }

  @Test
  void nothingIsToBeLookedAtWhereABoardSleeps() throws IOException {
    TestPacks.tell(page.page(), "No current.");
    page.page().state("crate", new PackState(PackState.Word.ASLEEP, TestPacks.NOON, "no-bytes"));
    time.leap(60_000);

    assertThat(awaitLine(follow("?pack=crate", 65_536), "data: {\"id\":\"crate\""))
        .contains("Not heard since 12:00, asleep: no answer after a rest, when boards sleep.");
  }

  @Test
  void aReadingOfAnEarlierRunIsStale() throws IOException {
    page.page().remember("crate", TestPacks.reading(TestPacks.NOON - 86_400_000));

    assertThat(awaitLine(follow("", 65_536), "data: {\"id\":\"crate\""))
        .contains("\"stale\":true")
        .contains("Not heard since 3 Mar 2026 12:00");
  }

  @Test
  void onlySoManyMayFollow() throws IOException {
    for (int i = 0; i < Followers.MOST; i++) {
      assertThat(follow("", 65_536).readLine()).contains("200");
    }

    assertThat(follow("", 65_536).readLine()).contains("503");
  }

  @Test
  void whoReadsNothingIsDroppedAndHoldsNobodyUp() throws IOException {
    page.close();
    List<PagePack> packs =
        IntStream.rangeClosed(1, 64)
            .mapToObj(n -> TestPacks.pack("rack-" + n, "long ".repeat(10_000)))
            .toList();
    page = TestPage.of(TestPage.open(), packs, TestPage.NO_HISTORY, time);
    follow("", 2_048);
    long[] n = {0};

    Await.until(
        "the silent reader is stuck",
        () -> {
          packs.forEach(p -> page.page().reading(p.plan().id(), TestPacks.reading(++n[0])));
          time.leap(3_000);
          return page.get("/metrics").body().contains("cellherd_page_followers 0\n");
        });
    assertThat(follow("", 65_536).readLine()).contains("200");
  }
}
