package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.cellherd.Await;
import org.cellherd.Browser;
import org.cellherd.BrowserTab;
import org.cellherd.OneBrowser;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.Priority;
import org.cellherd.alert.news.PackState;
import org.cellherd.json.JsonText;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What is read within three seconds: headline, tab, icon, the worst first. */
class LivePageTest {

  private static final String WHAT = "document.querySelector('.alert.first .what')";
  private static final String SIZE = "parseFloat(getComputedStyle(%s).fontSize)";

  @RegisterExtension private static final OneBrowser BROWSER = new OneBrowser();
  private BrowserTab tab;
  private TestPage page;

  @BeforeEach
  void open() {
    tab = BROWSER.tab();
    page = start(TestPacks.one());
  }

  private static TestPage start(List<PagePack> packs) {
    return TestPage.of(
        TestPage.open(), packs, TestPage.NO_HISTORY, new StandingWall(TestPacks.NOON));
  }

  @AfterEach
  void close() {
    page.close();
  }

  private void show(PlayedPack pack) {
    page.close();
    page =
        TestPage.of(
            TestPage.open(),
            List.of(PagePack.polledEvery(pack.plan(), 3_600_000)),
            (id, from, to) -> pack.read(from, to),
            new StandingWall(pack.nowMs()));
    pack.tell(page.page());
    tab.go(page.address() + "/");
    tab.await("document.querySelector('.strip path')");
  }

  @Test
  void theAlertIsTheHeadlineOfPageTabAndIconAndNothingCalmStandsLarger() {
    PlayedPack pack = new PlayedPack("runaway").play(900, true).play(4, false);
    show(pack);

    tab.await(WHAT);
    assertThat(tab.text(WHAT + ".textContent")).startsWith("Critical: Cell 2 runs ahead");
    assertThat(tab.text("document.title"))
        .startsWith("Critical: Cell 2 runs ahead at the top of the charge \u00b7 Field crate");
    // From the page itself: it must be had when cellherd is away, too.
    assertThat(tab.text("decodeURIComponent(document.querySelector('link[rel=icon]').href)"))
        .contains("#b3003c");
    assertThat(tab.number(SIZE.formatted(WHAT)))
        .isGreaterThan(tab.number(SIZE.formatted("document.querySelector('.headline')")));
    assertThat(tab.is(WHAT + ".getBoundingClientRect().top < 200")).isTrue();
  }

  @Test
  void alertsOfOneCauseAreOneBoxWithOneFirstStepThatCounts() {
    PlayedPack pack = new PlayedPack("runaway").play(900, true);
    show(pack);
    tab.await(WHAT);
    String before = tab.text(WHAT + ".textContent");
    long said = pack.engine().standing().size();

    pack.play(3, false);
    pack.engine().standing().forEach(page.page()::standing);
    tab.await(WHAT + ".textContent !== " + JsonText.quoted(before));

    assertThat(said).isGreaterThan(1);
    assertThat(tab.number("document.querySelectorAll('.alert').length")).isEqualTo(1);
    assertThat(tab.number("document.querySelectorAll('.alert .step').length")).isEqualTo(1);
    // A figure stays with its unit.
    assertThat(tab.text(WHAT + ".textContent"))
        .contains(Spoken.volts(pack.mv(2)).replace(' ', '\u00a0'));
    assertThat(tab.text("document.querySelector('.alert').textContent")).contains("As of ");
    tab.evaluate("document.querySelector('.alert button').click()");
    Await.until("all are seen", () -> page.seen().size() == said);
    assertThat(page.seen()).doesNotHaveDuplicates();
  }

  /** An hour after it, and at night's end, when there is no value to compare any more. */
  @ParameterizedTest
  @ValueSource(ints = {240, 500})
  void ofAnAlertThatIsOverItIsReadFirstWhatItWasAtItsWorst(int minutes) {
    PlayedPack pack = new PlayedPack("first-night").play(minutes, false);
    show(pack);
    tab.await("document.querySelector('.alert.over .what')");

    String said = tab.text("document.querySelector('.alert.over').textContent");
    assertThat(said)
        .startsWith("Was critical: Cell 3 runs ahead at the top of the charge, 3.")
        .containsPattern("at its worst at (10 Jan 2026 )?19:\\d\\d; this lasted \\d+.min in all\\.")
        .containsPattern(
            "Over since (10 Jan 2026 )?19:\\d\\d, but nobody has said that they saw it\\.");
  }

  /** What it last said is of before: the charge is to be stopped. */
  @Test
  void aSilentBoardIsReadBeforeWhatItLastSaid() {
    PlayedPack pack = new PlayedPack("runaway").play(900, true).play(1, false).fallSilent(20);
    show(pack);
    tab.await(WHAT);

    assertThat(tab.text(WHAT + ".textContent")).startsWith("Critical: The board is silent");
    assertThat(tab.text("document.querySelector('.alert .step').textContent"))
        .startsWith("Stop the charge first.");
  }

  /** "At least 5 %" of a pack that is three quarters full is read as an empty one. */
  @ParameterizedTest
  @ValueSource(longs = {3, 8})
  void aLowBoundAloneIsNeverShownAsTheCharge(long seed) {
    PlayedPack pack = new PlayedPack(Scenarios.open("first-night").withSeed(seed)).play(62, false);
    show(pack);
    tab.await("document.querySelector('dl.facts')");
    assertThat(tab.text("document.querySelector('dl.facts').textContent"))
        .contains("State of chargenot known yet")
        .doesNotContain("at least");

    page.close();
    page =
        TestPage.of(
            TestPage.open(),
            List.of(PagePack.polledEvery(pack.plan(), 3_600_000), TestPacks.pack("shed", "Shed")),
            TestPage.NO_HISTORY,
            new StandingWall(pack.nowMs()));
    pack.tell(page.page());
    tab.go(page.address() + "/");
    String charge =
        "[...document.querySelectorAll('td[data-of=Charge]')].map(c => c.textContent).join('')";
    tab.await(charge);
    long board = Math.round(pack.reading().socTenthPct().orElseThrow() / 10.0);
    assertThat(tab.text(charge)).isEqualTo(board + "\u00a0% by the board");
  }

  /** Time before the first reading is no silence. */
  @Test
  void theStripBeginsWithTheFirstReadingAndGrows() {
    PlayedPack pack = new PlayedPack("first-night").play(4, false);
    show(pack);

    assertThat(tab.number("document.querySelectorAll('.strip .f-gap').length")).isZero();
    assertThat(tab.text("document.querySelector('.strip title').textContent"))
        .contains("over the last 0.1 hours");
  }

  @Test
  void ofManyCellsThoseThatStandApartHaveAColourAndAName() {
    PlayedPack pack = new PlayedPack("first-night-16s").play(240, false);
    show(pack);

    String names = "document.querySelectorAll('.strip text.strong').length";
    assertThat(tab.number(names)).isBetween(2.0, 9.0);
    assertThat(tab.text("document.querySelector('figcaption').textContent"))
        .matches(
            "The shaded band is 10 mV high, the spread that counts as balanced\\."
                + " Grey: the other \\d+ cells, within \\d+ mV of the median\\.");
  }

  /** A phone on a slow line: 60 kB at most, also while three other pages are open. */
  @Test
  void theFirstViewOfSixteenCellsIsSmallWhileOthersLookToo() {
    PlayedPack pack = new PlayedPack("first-night-16s").play(420, false);
    show(pack);
    List<BrowserTab> others = List.of(BROWSER.another(), BROWSER.another(), BROWSER.another());
    others.forEach(other -> other.go(page.address() + "/"));
    others.forEach(other -> other.await("document.querySelector('.strip path')"));
    try (Browser cold = Browser.start();
        BrowserTab fresh = cold.tab()) {
      fresh.go(page.address() + "/");
      fresh.await("document.querySelector('.strip path')");
      double bytes = fresh.number("performance.getEntriesByType('navigation')[0].transferSize");
      System.out.printf(
          "first view %.0f bytes, shown after %.0f ms%n",
          bytes, fresh.number("performance.getEntriesByName('shown')[0].startTime"));

      assertThat(bytes).isBetween(5_000.0, 60_000.0);
      // Each request costs a turn of the line: before it is drawn the document is the only one.
      assertThat(
              fresh.number(
                  "performance.getEntriesByType('resource').filter(r => r.startTime <"
                      + " performance.getEntriesByName('shown')[0].startTime).length"))
          .isZero();
    } finally {
      others.forEach(BrowserTab::close);
    }
  }

  /** No digit is shown that the board has not told. */
  @ParameterizedTest
  @ValueSource(ints = {33_300, 33_305})
  void aDistanceHasTheDecimalsOfTheBoard(int tenthMv) {
    Reading reading =
        Reading.at(TestPacks.NOON)
            .cells(CellVoltages.ofTenthMv(33_310, tenthMv, 33_410, 33_290))
            .build();
    page.page().reading("crate", reading);
    page.page().state("crate", new PackState(PackState.Word.LIVE, TestPacks.NOON, ""));
    tab.go(page.address() + "/");
    tab.await("document.querySelector('.strip path')");

    String tenths =
        "[...document.querySelectorAll('.cells li span, .strip text.f-ink')]"
            + ".filter(t => /^[+\u2212]?[0-9]+[.][0-9]( mV)?$/.test(t.textContent)).length";
    assertThat(tab.number(tenths)).isEqualTo(tenthMv % 10 == 0 ? 0 : 8);
  }

  @Test
  void sensorsAreNamedByWhatTheyTouch() {
    show(new PlayedPack("first-night").play(4, false));

    assertThat(tab.text("document.querySelector('.facts').textContent"))
        .contains("Cell sensor 1", "Board's switch")
        .doesNotContain("Sensor");
  }

  @Test
  void afterARestartThePageShowsWhatHappenedBefore() {
    AlertEvent raised = TestPacks.raised("a-1", "Cell 3 runs ahead.");
    page.page().recall(List.of(raised));
    tab.go(page.address() + "/");

    tab.await("document.querySelector('.lately li')?.textContent.includes('Raised: Cell 3 runs')");
    assertThat(tab.number("document.querySelectorAll('.alert').length")).isZero();
  }

  @Test
  void thePackThatNeedsSomebodyIsListedFirst() {
    List<PagePack> packs = new ArrayList<>();
    for (int n = 1; n <= 12; n++) {
      packs.add(TestPacks.pack("rack-" + n, "Rack " + n));
    }
    page.close();
    page = start(packs);
    for (int n = 1; n <= 12; n++) {
      PackState.Word word = n == 9 ? PackState.Word.SILENT : PackState.Word.LIVE;
      page.page().state("rack-" + n, new PackState(word, TestPacks.NOON, ""));
      page.page().reading("rack-" + n, TestPacks.reading(TestPacks.NOON));
      page.page()
          .summary(
              "rack-" + n,
              TestPacks.summary(
                  "Resting.",
                  n == 5
                      ? Optional.of(Priority.CRITICAL)
                      : n == 7 ? Optional.of(Priority.WARNING) : Optional.empty()));
    }
    tab.go(page.address() + "/");
    tab.await("document.querySelectorAll('tbody tr').length === 12");
    String order = "[...document.querySelectorAll('tbody th')].map(t => t.textContent).join()";

    assertThat(tab.text(order)).startsWith("Rack 5,Rack 7,Rack 9,Rack 1,Rack 2,");
    tab.await("document.querySelectorAll('.outline path').length === 12");
    // On a tablet, too, what a pack does is a sentence and no column of words.
    tab.size(768, 900);
    assertThat(tab.number("document.querySelector('td.says').clientWidth")).isGreaterThan(180);
    assertThat(tab.scrollsSideways()).isFalse();
  }

  @Test
  void lostContactDimsThePageAndSaysSinceWhenInTheTabToo() {
    TestPacks.tell(page.page(), "Charging.");
    tab.go(page.address() + "/");
    tab.await("document.querySelector('.headline')?.textContent === 'Charging.'");
    page.close();

    tab.await("document.body.classList.contains('lost')");
    assertThat(tab.text("document.title")).startsWith("No contact \u00b7 ");
    assertThat(tab.text("getComputedStyle(document.querySelector('main')).filter"))
        .contains("grayscale");
    // By the clock of cellherd's computer, which here stands months before the browser's.
    assertThat(tab.text("document.getElementById('contact').textContent"))
        .isEqualTo("No contact with cellherd: not heard since 12:00.");
  }

  /** Judged by the decimal value of the very same double; what rounds to nothing has no sign. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void aDrawnNumberIsRoundedAndNothingHasNoSign(long seed) {
    Random random = new Random(seed);
    tab.go(page.address() + "/pack/crate/past");
    tab.await("import('/asset/common.js').then(common => Object.assign(window, common))");
    for (int i = 0; i < 200; i++) {
      int decimals = random.nextInt(4);
      double value = random.nextGaussian() * Math.pow(10, -random.nextInt(5));
      BigDecimal rounded = new BigDecimal(value).setScale(decimals, RoundingMode.HALF_UP);
      String text = rounded.toPlainString().replace('-', '\u2212');
      String call = "(" + value + ", " + decimals + ")";

      assertThat(tab.text("plain" + call)).as("%s, seed %d", call, seed).isEqualTo(text);
      assertThat(tab.text("signed" + call))
          .as("%s, seed %d", call, seed)
          .isEqualTo(rounded.signum() > 0 ? "+" + text : text);
    }
  }
}
