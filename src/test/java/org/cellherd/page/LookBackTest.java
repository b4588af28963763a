package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalLong;
import java.util.Random;
import org.cellherd.BrowserTab;
import org.cellherd.OneBrowser;
import org.cellherd.json.JsonValue;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SpokenTime;
import org.cellherd.report.Remark;
import org.cellherd.report.plot.Tracks;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Looking back in a browser that is far from the site: whose hours, and what was silent. */
final class LookBackTest {

  private static final ZoneId SITE = ZoneId.of("Europe/Lisbon");
  private static final String TOLD = "Balanced at 01:00; cell 3 was 0.65 Ah ahead.";
  private static final String DRAWN = "document.querySelectorAll('.plot canvas').length > 2";
  @RegisterExtension private static final OneBrowser BROWSER = new OneBrowser();

  private final StandingWall time = new StandingWall(TestPacks.NOON);
  private BrowserTab tab;
  private TestPage page;

  @BeforeEach
  void open() {
    tab = BROWSER.tab();
    tab.call("Emulation.setTimezoneOverride", Facts.of().put("timezoneId", "Asia/Tokyo").build());
    page = TestPage.of(TestPage.open(), TestPacks.one(), LookBackTest::past, time);
  }

  @AfterEach
  void close() {
    page.close();
  }

  /** The log begins a third into whatever is asked for, and is silent for its last quarter. */
  private static PackHistory.Stretch past(String pack, long from, long to) {
    long began = from + (to - from) / 3;
    Tracks tracks = new Tracks(from, to);
    for (long t = began; t < to - (to - from) / 4; t += Math.max(60_000, (to - from) / 960)) {
      tracks.add(TestPacks.reading(t));
    }
    return new PackHistory.Stretch(
        tracks,
        List.of(),
        List.of(),
        List.of(new Remark(began + 60_000, "Anna", "strap tightened")),
        OptionalLong.of(began),
        TOLD);
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void whatIsDraggedAcrossIsShownByTheHoursOfTheSite(long seed) {
    Random random = new Random(seed);
    LocalDateTime from =
        LocalDateTime.of(2026, 1 + random.nextInt(6), 1 + random.nextInt(28), 12, 0);
    LocalDateTime to = from.plusDays(1 + random.nextInt(3));
    tab.go(page.address() + "/pack/crate/past?span=" + from + ".." + to);
    tab.await(DRAWN);
    double first = 0.1 + 0.3 * random.nextDouble();
    double last = first + 0.2 + 0.3 * random.nextDouble();

    drag(first, last);

    tab.await("location.search !== '?span=" + from + ".." + to + "'");
    String[] span = tab.text("location.search").substring("?span=".length()).split("\\.\\.");
    assertNear(LocalDateTime.parse(span[0]), from, to, first);
    assertNear(LocalDateTime.parse(span[1]), from, to, last);
  }

  private static void assertNear(
      LocalDateTime shown, LocalDateTime from, LocalDateTime to, double at) {
    long fromMs = from.atZone(SITE).toInstant().toEpochMilli();
    long length = to.atZone(SITE).toInstant().toEpochMilli() - fromMs;
    Instant meant = Instant.ofEpochMilli(fromMs + Math.round(length * at));
    // Two pixels of some hundred, and the whole minute.
    assertThat(Duration.between(shown.atZone(SITE).toInstant(), meant).abs())
        .isLessThan(Duration.ofMillis(60_000 + length / 150));
  }

  /** Over a share of the first plot's width. */
  private void drag(double first, double last) {
    tab.evaluate("document.querySelector('.u-over').scrollIntoView({block: 'center'})");
    String box = "document.querySelector('.u-over').getBoundingClientRect()";
    double left = tab.number(box + ".left");
    double width = tab.number(box + ".width");
    double y = tab.number(box + ".top") + 20;
    mouse("mouseMoved", left + width * first, y, "none");
    mouse("mousePressed", left + width * first, y, "left");
    mouse("mouseMoved", left + width * (first + last) / 2, y, "left");
    mouse("mouseMoved", left + width * last, y, "left");
    mouse("mouseReleased", left + width * last, y, "left");
  }

  private void mouse(String type, double x, double y, String button) {
    tab.call(
        "Input.dispatchMouseEvent",
        Facts.of()
            .put("type", type)
            .put("x", x, 2)
            .put("y", y, 2)
            .put("button", button)
            .put("buttons", button.equals("left") && !type.equals("mouseReleased") ? 1 : 0)
            .put("clickCount", type.equals("mouseMoved") ? 0 : 1)
            .build());
  }

  @Test
  void onlyWhatTheLogMissedLooksSilent() {
    tab.go(page.address() + "/pack/crate/past?span=2026-01-10T12:00..2026-01-11T12:00");
    tab.await(DRAWN);

    assertThat(tab.text("document.querySelector('.headline').textContent"))
        .contains("The log begins on 10 Jan 2026 20:00.");
    assertThat(tab.text("document.querySelector('.plots').firstChild.textContent"))
        .isEqualTo(TOLD.replace("65 Ah", "65\u00a0Ah"));
    assertThat(silentShare(0.02, 0.31)).isZero();
    assertThat(silentShare(0.36, 0.72)).isZero();
    assertThat(silentShare(0.78, 0.98)).isGreaterThan(0.5);
  }

  /** Share of pixels in the colour of silence between two shares of the width. */
  private double silentShare(double from, double to) {
    return tab.number(
        "(() => { const c = document.querySelectorAll('.plot')[1].querySelector('canvas');"
            + "const u = c.parentNode.querySelector('.u-over'), r = devicePixelRatio;"
            + "const x = (u.offsetLeft + u.offsetWidth * "
            + from
            + ") * r, w = u.offsetWidth * "
            + (to - from)
            + " * r;const probe = document.createElement('canvas').getContext('2d');probe.fillStyle"
            + " = getComputedStyle(document.documentElement).getPropertyValue('--gap');probe.fillRect(0,"
            + " 0, 1, 1); const g = probe.getImageData(0, 0, 1, 1).data;const d ="
            + " c.getContext('2d').getImageData(x, (u.offsetTop + 40) * r, w, 1).data;let n = 0;"
            + " for (let i = 0; i < d.length; i += 4) if (d[i] === g[0] && d[i + 1] === g[1] && d[i"
            + " + 3] === 255) n++;return n / (d.length / 4); })()");
  }

  /**
   * The means of columns hide peaks: each plot but that of distances has single readings behind.
   */
  @ParameterizedTest
  @ValueSource(strings = {"2026-01-10-night", "2026-01-10", "2026-01", "2026"})
  void extremesAreABandAtEveryZoom(String span) {
    page.close();
    page = TestPage.of(TestPage.open(), TestPacks.one(), LookBackTest::peaks, time);
    tab.go(page.address() + "/pack/crate/past?span=" + span);
    tab.await(DRAWN);

    String captions = "[...document.querySelectorAll('.plot figcaption')].map(c => c.textContent)";
    assertThat(tab.text(captions + ".slice(1).join('|')").split("\\|"))
        .hasSize(4)
        .allMatch(caption -> caption.contains("The shade reaches to single readings"))
        .anyMatch(caption -> caption.contains("Lowest \u221250.00, highest 50.00."))
        .anyMatch(caption -> caption.contains("Lowest 7, highest 93."));
  }

  /** A load and a charger of an instant in each of 500 stretches. */
  private static PackHistory.Stretch peaks(String pack, long from, long to) {
    Tracks tracks = new Tracks(from, to);
    long step = (to - from) / 3_000;
    for (int n = 0; n < 3_000; n++) {
      int peak = n % 6 == 1 ? 1 : n % 6 == 4 ? -1 : 0;
      tracks.add(
          TestPacks.reading(from + n * step).toBuilder()
              .currentMa(50_000 * peak)
              .socTenthPct(500 + 430 * peak)
              .build());
    }
    return new PackHistory.Stretch(
        tracks, List.of(), List.of(), List.of(), OptionalLong.empty(), "");
  }

  /** Of sixteen cells one leaves the band: its line alone has a colour. */
  @ParameterizedTest
  @ValueSource(ints = {3, 11, 16})
  void ofManyCellsOnlyTheRemarkableHaveAColour(int far) {
    page.close();
    PackPlan plan = PackPlan.builder("rack", Chemistry.LFP, 16, 1, 100_000).build();
    page =
        TestPage.of(
            TestPage.open(),
            List.of(PagePack.polledEvery(plan, 1_000)),
            (pack, from, to) -> {
              Tracks tracks = new Tracks(from, to);
              for (long t = from; t < to; t += 120_000) {
                int[] mv = new int[16];
                Arrays.fill(mv, 3_300);
                mv[far - 1] += far == 11 ? -40 : 40;
                tracks.add(Reading.at(t).cells(CellVoltages.ofMv(mv)).build());
              }
              return new PackHistory.Stretch(
                  tracks, List.of(), List.of(), List.of(), OptionalLong.empty(), "");
            },
            time);
    tab.go(page.address() + "/pack/rack/past?span=2026-01-10");
    tab.await("document.querySelectorAll('.plot canvas').length > 1");

    String coloured =
        "[...document.querySelector('.plot').querySelectorAll('.u-series')].filter(row => {"
            + "const c = row.querySelector('.u-marker')?.style.borderColor ?? '';"
            + "const soft = document.createElement('i'); soft.style.borderColor ="
            + " getComputedStyle(document.documentElement).getPropertyValue('--soft');"
            + "return row.textContent.includes('Cell') && c !== soft.style.borderColor; })"
            + ".map(row => row.querySelector('.u-label').textContent).join()";
    assertThat(tab.text(coloured)).isEqualTo("Cell " + far);
    // Each level that has room is named beside the plot: 0, 5, 10 and 20 on both sides.
    assertThat(
            tab.number(
                "(() => { const c = document.querySelector('.plot canvas');const u ="
                    + " c.parentNode.querySelector('.u-over'), r = devicePixelRatio;const w ="
                    + " (u.offsetLeft - 8) * r, h = (u.offsetTop + u.offsetHeight + 6) * r;const d"
                    + " = c.getContext('2d').getImageData(0, 0, w, h).data;let n = 0, before ="
                    + " false; for (let y = 0; y < h; y++) { let is = false;for (let x = 0; x < w;"
                    + " x++) is ||= d[(y * w + x) * 4 + 3] > 99;if (is && !before) n++; before ="
                    + " is; } return n; })()"))
        .isGreaterThanOrEqualTo(7);
    // No level is drawn below its plot: beside the times that column of pixels is empty.
    assertThat(
            tab.number(
                "(() => { const c = document.querySelector('.plot canvas');"
                    + "const u = c.parentNode.querySelector('.u-over'), r = devicePixelRatio;"
                    + "const y = (u.offsetTop + u.offsetHeight + 2) * r;"
                    + "const d = c.getContext('2d').getImageData((u.offsetLeft + u.offsetWidth / 3"
                    + " + 9) * r, y, 3, c.height - y).data;"
                    + "let n = 0; for (let i = 3; i < d.length; i += 12) if (d[i] && d[i + 4] &&"
                    + " d[i + 8]) n++; return n; })()"))
        .isZero();
  }

  @Test
  void theLastNightIsTheSites() {
    tab.go(page.address() + "/pack/crate/past");

    tab.await("location.search.endsWith('-night')");
    // By the clock and the hours of the site: the browser's clock is months ahead.
    Instant noon = Instant.ofEpochMilli(TestPacks.NOON);
    assertThat(tab.text("location.search"))
        .isEqualTo(
            "?span=" + noon.minus(Duration.ofHours(12)).atZone(SITE).toLocalDate() + "-night");
  }

  /** What the plots shade or mark is said in words. */
  @Test
  void everyShadeAndMarkIsExplained() {
    tab.go(page.address() + "/pack/crate/past?span=2026-01-10T12:00..2026-01-11T12:00");
    tab.await(DRAWN);

    assertThat(tab.text("document.querySelector('.plots').textContent"))
        .contains("These times are shaded from top to bottom in the plots.")
        .containsPattern("about 11 Jan 2026 0[56]:\\d\\d to 11 Jan 2026 12:00 \\(cause unknown\\)")
        .contains("Letters are those of the marks in the plots.");
  }

  /** A date field is in its browser's own form, where 2 and 7 may be the day or the month. */
  @ParameterizedTest
  @CsvSource({
    "2026-02-07-night, night from 7 Feb 2026",
    "2026-09-02, 2 Sep 2026",
    "2026-09, Sep 2026",
    "2025, 2025",
    "2026-02-07T18:00..2026-02-08T06:00, 7 Feb 2026 18:00 to 8 Feb 2026 06:00"
  })
  void whatIsShownIsSaidInTheFormOfTheSite(String span, String words) {
    tab.go(page.address() + "/pack/crate/past?span=" + span);
    tab.await(DRAWN);

    assertThat(tab.text("document.querySelector('h1').textContent"))
        .isEqualTo("Field crate: " + words);
  }

  @Test
  void timesAreWrittenAsInMessages() {
    tab.go(page.address() + "/pack/crate/past?span=2026-01-10");
    Random random = new Random(16);

    for (int month = 0; month < 24; month++) {
      long ms = TestPacks.NOON + (month * 30L * 86_400 + random.nextInt(86_400)) * 1000;
      String four = "[m.day(t), m.clock(t), m.wall(t), m.day(t) + ' ' + m.second(t)].join('|')";

      assertThat(
              tab.evaluate("import('/asset/common.js').then(m => (t => " + four + ")(" + ms + "))"))
          .isEqualTo(
              new JsonValue.JsonString(
                  String.join(
                      "|",
                      SpokenTime.day(ms, SITE),
                      SpokenTime.clock(ms, SITE),
                      Instant.ofEpochMilli(ms).atZone(SITE).toString().substring(0, 16),
                      SpokenTime.second(ms, SITE))));
    }
  }

  /** 3.50 beside 3.45, not 3.5. */
  @Test
  void levelsOfAPlotHaveAsManyDecimalsEach() {
    page.close();
    page = TestPage.of(TestPage.open(), TestPacks.one(), LookBackTest::held, time);
    tab.call(
        "Page.addScriptToEvaluateOnNewDocument",
        Facts.of()
            .put(
                "source",
                "const p = CanvasRenderingContext2D.prototype, own = p.fillText; window.levels ="
                    + " {};p.fillText = function (text, ...more) { if (this.textAlign === 'right')"
                    + " { const all = [...document.querySelectorAll('canvas')];"
                    + " (levels[all.indexOf(this.canvas)] ??= []).push(text); } return"
                    + " own.call(this, text, ...more); }")
            .build());
    tab.go(page.address() + "/pack/crate/past?span=2026-01-10");
    tab.await(DRAWN);

    assertThat(tab.number("Object.keys(levels).length")).isGreaterThan(2);
    assertThat(
            tab.text(
                "Object.values(levels).map(all => new Set(all.map(t => (t.split('.')[1] ??"
                    + " '').length))).filter(s => s.size > 1).length + ' of ' +"
                    + " JSON.stringify(levels)"))
        .startsWith("0 of");
  }

  /** Held at the top. */
  private static PackHistory.Stretch held(String pack, long from, long to) {
    Tracks tracks = new Tracks(from, to);
    for (long t = from; t < to; t += 600_000) {
      tracks.add(
          TestPacks.reading(t).toBuilder()
              .cells(CellVoltages.ofMv(3458, 3470, 3475, 3486))
              .build());
    }
    return new PackHistory.Stretch(
        tracks, List.of(), List.of(), List.of(), OptionalLong.empty(), "");
  }
}
