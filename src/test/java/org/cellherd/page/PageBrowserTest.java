package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.TimeUnit;
import java.util.stream.IntStream;
import org.cellherd.BrowserTab;
import org.cellherd.OneBrowser;
import org.cellherd.alert.news.PackState;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.report.AlertSpan;
import org.cellherd.report.Remark;
import org.cellherd.report.plot.Tracks;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The page in a real Chromium. */
final class PageBrowserTest {

  private static final String SENTENCE = "Charging at 5.2 A, cells within 11 mV.";
  private static final String RUNNER = "Cell 3 runs ahead: 3.612 V, since 12:00.";

  /** Its figures are tied to their units. */
  private static final String HEADLINE =
      "document.querySelector('.headline')?.textContent.replaceAll('\\u00a0', ' ')";

  @RegisterExtension private static final OneBrowser BROWSER = new OneBrowser();

  private final StandingWall time = new StandingWall(TestPacks.NOON);
  private BrowserTab tab;
  private TestPage page;

  @BeforeEach
  void open() {
    tab = BROWSER.tab();
    page = start(TestPage.open(), TestPacks.one());
  }

  @AfterEach
  void close() {
    page.close();
  }

  private TestPage start(PageSettings settings, List<PagePack> packs) {
    return TestPage.of(settings, packs, PageBrowserTest::past, time);
  }

  private void restart(PageSettings settings, List<PagePack> packs) {
    page.close();
    page = start(settings, packs);
  }

  private static PackHistory.Stretch past(String pack, long from, long to) {
    Tracks tracks = new Tracks(from, to);
    long hour = TimeUnit.HOURS.toMillis(1);
    for (long t = from; t < to; t += TimeUnit.MINUTES.toMillis(2)) {
      if (t < from + 5 * hour || t > from + 8 * hour) {
        tracks.add(TestPacks.reading(t));
      }
    }
    return new PackHistory.Stretch(
        tracks,
        List.of(new Gap(from + 5 * hour, from + 8 * hour, Gap.Cause.NO_BYTES)),
        AlertSpan.of(List.of(TestPacks.raised("a-1", TestPacks.HOSTILE))),
        List.of(new Remark(from + hour, TestPacks.HOSTILE, TestPacks.HOSTILE)),
        OptionalLong.empty(),
        "");
  }

  private void awaitHeadline(String text) {
    tab.await(HEADLINE + " === " + quoted(text));
  }

  private static String quoted(String text) {
    return org.cellherd.json.JsonText.quoted(text);
  }

  @Test
  void thePackIsShownAndNothingLeavesThisComputer() {
    TestPacks.tell(page.page(), SENTENCE);
    tab.go(page.address() + "/");
    awaitHeadline(SENTENCE);
    tab.await("document.querySelectorAll('.strip path').length > 4");
    tab.go(page.address() + "/pack/crate/past?span=2026-03-04");
    tab.await("document.querySelectorAll('.plot canvas').length > 2");

    assertThat(tab.text("document.querySelector('h1').textContent")).startsWith("Field crate");
    // The browser draws the calendar sign of its own date field from a data: address.
    assertThat(tab.requests())
        .isNotEmpty()
        .allMatch(url -> url.startsWith(page.address()) || url.startsWith("data:"));
    assertThat(tab.complaints()).filteredOn(c -> !c.contains("INCOMPLETE")).isEmpty();
    assertThat(tab.receivedBytes()).isLessThan(200_000);
  }

  @ParameterizedTest
  @CsvSource({"360,false", "360,true", "1400,false", "1400,true"})
  void nothingIsCutOffAtAnyWidthInAnyTheme(int width, boolean dark) {
    restart(TestPage.open(), List.of(TestPacks.pack("crate", TestPacks.HOSTILE), second()));
    TestPacks.tell(page.page(), "Charging " + "a".repeat(300));
    page.page().event(TestPacks.raised("a-1", TestPacks.HOSTILE));
    tab.size(width, 800);
    tab.dark(dark);
    String paper = "getComputedStyle(document.body).backgroundColor";
    for (String path : List.of("/", "/pack/crate", "/pack/crate/past?span=2026-03-04", "/login")) {
      tab.go(page.address() + path);
      tab.await("document.querySelector('tbody tr, .strip path, .plot canvas, form.span, input')");

      assertThat(tab.scrollsSideways()).as(path).isFalse();
      assertThat(tab.text(paper)).isEqualTo(dark ? "rgb(20, 23, 26)" : "rgb(255, 255, 255)");
    }
  }

  private static PagePack second() {
    return TestPacks.pack("shed", "Shed");
  }

  @Test
  void hostileNamesAndTextsStayText() {
    restart(TestPage.open(), List.of(TestPacks.pack("crate", TestPacks.HOSTILE), second()));
    TestPacks.tell(page.page(), TestPacks.HOSTILE);
    page.page()
        .state("crate", new PackState(PackState.Word.LIVE, TestPacks.NOON, TestPacks.HOSTILE));
    page.page().event(TestPacks.raised("<b>\"'", TestPacks.HOSTILE));
    tab.evaluate("window.name = 'untouched'");
    for (String path : List.of("/", "/pack/crate", "/pack/crate/past?span=2026-03-04")) {
      tab.go(page.address() + path);
      String shown = "document.querySelector('tbody a, .what, ol li')?.textContent";
      tab.await("String(" + shown + ").includes('</title>')");

      assertThat(tab.number("document.querySelectorAll('main script, main b').length")).isZero();
      assertThat(tab.number("document.querySelectorAll('body').length")).isEqualTo(1);
      assertThat(tab.is("document.querySelector('footer') !== null")).isTrue();
    }
    assertThat(tab.complaints()).filteredOn(c -> !c.contains("INCOMPLETE")).isEmpty();
  }

  @Test
  void whatTheLogLostIsShownUnfoldedUntilSomebodyFoldsIt() {
    TestPacks.tell(page.page(), SENTENCE);
    page.page().event(TestPacks.lost("Pack crate: 360 readings lost."));
    tab.go(page.address() + "/");
    tab.await("document.querySelector('details[open] .lately li')");
    assertThat(tab.text("document.querySelector('.lately').textContent"))
        .contains("Notice: Pack crate: 360 readings lost.");

    tab.is("(document.querySelector('details[open]').open = false, true)");
    page.page().event(TestPacks.raised("a-1", RUNNER));
    tab.await("document.querySelector('.alert button')");
    assertThat(tab.is("document.querySelector('.lately').parentNode.open")).isFalse();
  }

  @Test
  void anAlertIsSeenByKeyboardAlone() throws InterruptedException {
    TestPacks.tell(page.page(), SENTENCE);
    page.page().event(TestPacks.raised("a-1", RUNNER));
    tab.go(page.address() + "/");
    tab.await("document.querySelector('.alert button')");
    int tabs = 0;
    do {
      tab.press("Tab");
      tabs++;
    } while (tabs < 10 && !tab.is("document.activeElement.matches('.alert button')"));

    assertThat(tabs).isLessThan(6);
    assertThat(tab.text("getComputedStyle(document.activeElement).outlineStyle"))
        .isEqualTo("solid");
    tab.press("Enter");
    assertThat(page.seen().poll(10, TimeUnit.SECONDS)).isEqualTo("a-1 page, 127.0.0.1");
    page.page().event(TestPacks.acknowledged("a-1", RUNNER, "page, 127.0.0.1"));
    tab.await("document.querySelector('.alert button').hidden");
    assertThat(tab.is("document.activeElement.matches('.alert')")).isTrue();
    assertThat(tab.text("document.querySelector('.alert').textContent"))
        .contains("Seen by page, 127.0.0.1");
  }

  @Test
  void aScreenReaderIsToldNamesOfEverything() {
    TestPacks.tell(page.page(), SENTENCE);
    page.page().event(TestPacks.raised("a-1", RUNNER));
    tab.go(page.address() + "/");
    tab.await("document.querySelector('.strip path') && document.querySelector('.alert')");

    List<String> heard = tab.accessibility();

    assertThat(heard)
        .contains("heading \"Field crate\"", "button \"Seen: " + RUNNER + "\"")
        .contains("navigation \"Views\"", "list \"Cells\"", "list \"Active alerts\"")
        .anyMatch(n -> n.startsWith("image \"Herd strip: distance of every cell"))
        .anyMatch(n -> n.replace('\u00a0', ' ').contains("Critical: " + RUNNER))
        .noneMatch(n -> n.matches("(button|link|image|textbox|combobox) \"\""));
    tab.go(page.address() + "/pack/crate/past?span=2026-03-04");
    tab.await("document.querySelectorAll('.plot canvas').length > 2");
    assertThat(tab.accessibility())
        .contains("combobox \"Show a\"", "button \"Earlier\"", "heading \"Cells, V\"")
        .anyMatch(n -> n.contains("Lowest 3.330 (Cell 4), highest 3.341 (Cell 3)"))
        .noneMatch(n -> n.matches("(button|link|image|textbox|combobox) \"\""));
  }

  @Test
  void theLastStateIsMarkedStaleWhileCellherdIsAwayAndLiveAgainAfterItsRestart() {
    TestPacks.tell(page.page(), SENTENCE);
    tab.go(page.address() + "/");
    awaitHeadline(SENTENCE);
    PageSettings samePort = PageSettings.loopback(page.local().address().getPort());
    page.close();

    tab.await("document.body.classList.contains('lost')");
    assertThat(tab.text("document.getElementById('contact').textContent"))
        .startsWith("No contact with cellherd: not heard since ");

    page = start(samePort, TestPacks.one());
    page.page().remember("crate", TestPacks.reading(TestPacks.NOON));
    awaitHeadline("Not heard since 12:00.");
    assertThat(tab.is("document.body.classList.contains('lost')")).isFalse();
    assertThat(tab.is("document.body.classList.contains('stale')")).isTrue();
    assertThat(tab.text("document.querySelector('.stamp').textContent"))
        .isEqualTo("of 12:00, not of now");

    TestPacks.tell(page.page(), SENTENCE);
    awaitHeadline(SENTENCE);
    assertThat(tab.is("document.body.classList.contains('stale')")).isFalse();
  }

  /** On a slow line each further request would be a turn of waiting. */
  @ParameterizedTest
  @ValueSource(ints = {1, 2})
  void theDocumentAloneShowsWhatIsHappening(int packs) {
    restart(TestPage.open(), List.of(TestPacks.pack("crate", "Crate"), second()).subList(0, packs));
    TestPacks.tell(page.page(), SENTENCE);
    page.page().event(TestPacks.raised("a-1", RUNNER));
    tab.call("Network.setBlockedURLs", Facts.of().put("urls", List.of("*/a*/*")).build());
    try {
      tab.go(page.address() + "/");
      tab.await(
          "document.querySelector(" + (packs == 1 ? "'.strip path'" : "'.outline path'") + ")");

      assertThat(tab.text("document.querySelector('main').innerText").replace('\u00a0', ' '))
          .contains(SENTENCE)
          .contains(RUNNER.substring(0, 20));
    } finally {
      tab.call("Network.setBlockedURLs", Facts.of().put("urls", List.of()).build());
    }
  }

  @Test
  void aSilentBoardIsSaidWithSinceWhenAndWhy() {
    TestPacks.tell(page.page(), SENTENCE);
    page.page()
        .state(
            "crate",
            new PackState(PackState.Word.SILENT, TestPacks.NOON, "no answer; look at cable"));
    page.page().summary("crate", TestPacks.summary("The board is silent."));
    tab.go(page.address() + "/");

    awaitHeadline("Not heard since 12:00: no answer; look at cable.");
    assertThat(tab.text("document.querySelector('main').textContent"))
        .contains("Before that: " + SENTENCE);
  }

  @Test
  void sixtyFourPacksAreListedAndLeadToTheirPages() {
    restart(
        TestPage.open(),
        IntStream.rangeClosed(1, 64)
            .mapToObj(n -> TestPacks.pack("rack-" + n, "Rack " + n))
            .toList());
    tab.size(360, 800);
    tab.go(page.address() + "/");
    tab.await("document.querySelectorAll('tbody tr').length === 64");

    assertThat(tab.text(HEADLINE)).isEqualTo("64 packs, 64 not heard.");
    assertThat(tab.scrollsSideways()).isFalse();
    tab.evaluate("document.querySelector('a[href=\"/pack/rack-64\"]').click()");
    tab.await("document.querySelector('h1')?.textContent === 'Rack 64'");
  }

  /** Spread and charge of a pack share a line of a phone. */
  @Test
  void aPacksFiguresStandOnOneLine() {
    restart(
        TestPage.open(),
        List.of(TestPacks.pack("crate", "Field crate"), TestPacks.pack("rack", "Rack")));
    TestPacks.tell(page.page(), SENTENCE);
    tab.size(360, 740);
    tab.go(page.address() + "/");
    tab.await("document.querySelector('tr:not(.stale) [data-of=Spread]')?.textContent");
    tab.evaluate(
        "document.querySelector('tr:not(.stale) [data-of=Spread]').textContent = '307 mV',"
            + "document.querySelector('tr:not(.stale) [data-of=Charge]').textContent"
            + " = '100 % by the board'");

    String box = "document.querySelector('tr:not(.stale) [data-of=%s]').getBoundingClientRect().%s";
    assertThat(tab.number(box.formatted("Charge", "top")))
        .isEqualTo(tab.number(box.formatted("Spread", "top")));
    assertThat(tab.number(box.formatted("Charge", "height")))
        .isEqualTo(tab.number(box.formatted("Spread", "height")));
  }

  @Test
  void theTokenIsAskedForOnceAndALinkMayCarryIt() {
    String secret = "a-secret-of-24-characters";
    restart(TestPage.locked(secret), TestPacks.one());
    TestPacks.tell(page.page(), SENTENCE);
    tab.go(page.address() + "/");
    assertThat(tab.accessibility()).anyMatch(n -> n.equals("textbox \"Token\""));
    tab.evaluate("document.getElementById('token').focus()");
    tab.type("wrong");
    tab.press("Enter");
    tab.await("document.querySelector('[role=alert]')?.textContent === 'That is not the token.'");

    tab.go(page.address() + "/#token=" + secret);
    awaitHeadline(SENTENCE);

    assertThat(tab.text("location.href")).isEqualTo(page.address() + "/");
    assertThat(tab.text("document.cookie")).isEmpty();
    assertThat(tab.requests())
        .noneMatch(url -> url.substring(8).replaceFirst("#.*", "").contains(secret));
  }

  @Test
  void finishedReportsAreListedAndShownWithoutTheirScripts(@TempDir Path folder)
      throws IOException {
    Files.writeString(
        folder.resolve("<b>night & \"day\".html"),
        "<!DOCTYPE html><title>plain</title><p id=p>p<script>document.title='ran'</script>");
    InetSocketAddress free = PageSettings.loopback(0).listen();
    restart(
        new PageSettings(free, Optional.empty(), List.of(), Optional.of(folder)), TestPacks.one());
    tab.go(page.address() + "/reports");

    assertThat(tab.text("document.querySelector('.reports a').textContent"))
        .isEqualTo("<b>night & \"day\".html");
    tab.evaluate("document.querySelector('.reports a').click()");
    tab.await("document.getElementById('p')");
    assertThat(tab.text("document.title")).isEqualTo("plain");
  }

  @Test
  void anyDayIsReachedByTheButtonsAndStaysInTheAddress() {
    tab.go(page.address() + "/pack/crate/past?span=2026-03-01");
    tab.await("document.querySelectorAll('.plot canvas').length > 2");
    tab.evaluate(
        "[...document.querySelectorAll('button')].find(b => b.textContent === 'Earlier').click()");

    tab.await("location.search === '?span=2026-02-28'");
    tab.evaluate("kind.value = 'month', kind.dispatchEvent(new Event('change'))");
    tab.await("location.search === '?span=2026-02'");
    tab.await("document.querySelectorAll('.plot canvas').length > 2");
    assertThat(tab.text("document.querySelector('main').textContent"))
        .contains("Not heard")
        .contains("The shade reaches to single readings")
        .contains("no bytes");
    tab.evaluate("kind.value = 'night', kind.dispatchEvent(new Event('change'))");
    tab.await("location.search.endsWith('-night')");
    tab.go(page.address() + "/pack/crate/past?span=2026-02-28T18:00..2026-03-01T06:00");
    tab.await("document.querySelectorAll('.plot canvas').length > 2");
    assertThat(tab.text("location.search")).contains("T18:00..2026-03-01T06:00");
  }

  @Test
  void motionIsLeftOutForThoseWhoWantNone() {
    for (String path : List.of("/", "/pack/crate/past?span=2026-03-04", "/login")) {
      tab.go(page.address() + path);
      String moved =
          "(main.style.transition = 'opacity 9s', getComputedStyle(main).transitionDuration)";
      tab.media(false, false);
      assertThat(tab.text(moved)).as(path).isEqualTo("9s");

      tab.media(false, true);
      assertThat(tab.text(moved)).as(path).isEqualTo("0s");
    }
  }
}
