package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.OptionalLong;
import java.util.Random;
import java.util.stream.IntStream;
import org.cellherd.BrowserTab;
import org.cellherd.Figures;
import org.cellherd.OneBrowser;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.news.PackState;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.report.AlertSpan;
import org.cellherd.report.Remark;
import org.cellherd.report.plot.LimitLine;
import org.cellherd.sim.TestScenarios;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What a page shows at a drawn minute of a drawn night is what the broker is told. */
class PageFiguresTest {

  private static final List<String> NIGHTS =
      List.of("first-night", "first-night-16s", "runaway", "bouncing-night", "capacity-test");

  private static final int LEAST_MINUTES = 30;
  private static final int MOST_MINUTES = 700;
  private static final int POLL_S = 5;

  private static final String ALERTS =
      "[...document.querySelectorAll('.alerts')].map(list => list.textContent).join('"
          + " ').replaceAll('\\u00a0', ' ')";

  @RegisterExtension private static final OneBrowser BROWSER = new OneBrowser();

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void everyFigureIsOneThatTheBrokerIsTold(long seed) {
    Random random = new Random(seed);
    String name = NIGHTS.get(random.nextInt(NIGHTS.size()));
    PlayedPack pack =
        new PlayedPack(TestScenarios.polledEvery(POLL_S, name).withSeed(random.nextInt(9_999)))
            .play(LEAST_MINUTES + random.nextInt(MOST_MINUTES), random.nextInt(3) == 0);
    Figures figures = pack.published().and(apart(pack.reading().cells()));
    for (LimitLine limit : LimitLine.of(pack.plan())) {
      figures.and(Facts.of().put("limit_v", limit.value(), 3).build());
    }
    double bandMv = PagePack.polledEvery(pack.plan(), 3_600_000).band().spreadMv();
    figures.and(Facts.of().put("band_mv", bandMv, 0).build());
    try (TestPage page =
        TestPage.of(
            TestPage.open(),
            List.of(PagePack.polledEvery(pack.plan(), 3_600_000)),
            (id, from, to) -> pack.read(from, to),
            new StandingWall(pack.nowMs()))) {
      pack.tell(page.page());
      BrowserTab tab = BROWSER.tab();
      tab.go(page.address() + "/");
      tab.await("document.querySelector('.strip path')");
      tab.await("document.querySelectorAll('.cells li').length > 0");

      for (Alert alert : pack.engine().standing()) {
        assertThat(tab.text(ALERTS)).contains(how(alert) + ": " + said(alert, pack.nowMs()));
      }
      tab.evaluate("document.querySelectorAll('.alerts,.lately').forEach(list => list.remove())");
      String shown = tab.text("document.querySelector('main').innerText");
      assertThat(shown.lines().flatMap(line -> figures.unknownIn(line).stream()))
          .as("%s, seed %d", name, seed)
          .isEmpty();
    }
  }

  /** What is wrong with the drawing of the live pictures: each a sentence. */
  private static final String FLAWS =
      """
      [...document.querySelectorAll('svg.strip')].flatMap((picture) => {
        const frame = picture.getBoundingClientRect();
        const all = [...picture.querySelectorAll('text,path,rect')]
          .map((node) => ({ node, box: node.getBoundingClientRect() }))
          .filter(({ box }) => box.width + box.height > 0);
        const say = (node) => node.textContent || node.outerHTML.slice(0, 60);
        const outside = all.filter(({ box }) => box.left < frame.left - 1 || box.right > frame.right + 1
          || box.top < frame.top - 1 || box.bottom > frame.bottom + 1)
          .map(({ node }) => `outside: ${say(node)}`);
        const texts = all.filter(({ node }) => node.tagName === 'text');
        const over = texts.flatMap((one, i) => texts.slice(i + 1)
          .filter((other) => Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left) > 2
            && Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top) > 4)
          .map((other) => `${say(one.node)} over ${say(other.node)}`));
        const touched = texts.filter(({ node }) => node.classList.contains('f-limit')).flatMap(({ node, box }) =>
          all.filter((other) => other.node.classList.contains('l-ink')).filter((line) => {
            const length = line.node.getTotalLength();
            const at = picture.getScreenCTM();
            return [...Array(800).keys()].some((n) => {
              const point = line.node.getPointAtLength(length * n / 800).matrixTransform(at);
              return point.x > box.left - 2 && point.x < box.right + 2 && point.y > box.top + 1 && point.y < box.bottom - 1;
            });
          }).map(() => `${say(node)} is touched`));
        return [...outside, ...over, ...touched];
      }).join(' | ')
      """;

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
  void nothingIsDrawnOutsideItsPictureOrOverAName(long seed) {
    Random random = new Random(seed);
    String name = NIGHTS.get(random.nextInt(NIGHTS.size()));
    PlayedPack pack =
        new PlayedPack(TestScenarios.polledEvery(POLL_S, name).withSeed(random.nextInt(9_999)))
            .play(LEAST_MINUTES + random.nextInt(MOST_MINUTES), false);
    int silentMinutes = random.nextBoolean() ? random.nextInt(300) : 0;
    isDrawnWell(pack, silentMinutes, name + ", seed " + seed);
  }

  /** The cells end beside a limit, and the rest of the picture is silent. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void aLimitIsNamedInTheSilenceBehindTheNumbersAtIt(long seed) {
    Random random = new Random(seed);
    PlayedPack pack =
        new PlayedPack(
            TestScenarios.polledEvery(POLL_S, "first-night").withSeed(random.nextInt(9_999)));
    pack.play(1, false);
    int minutes = 1;
    while (highestMv(pack) < pack.plan().limits().kneeMv()) {
      pack.play(1, false);
      minutes++;
    }
    // So short a time was heard that no name has room before its end.
    int silentMinutes = (int) (minutes * (2.5 + random.nextDouble()));
    isDrawnWell(pack, silentMinutes, "seed " + seed);
  }

  private static double highestMv(PlayedPack pack) {
    return IntStream.rangeClosed(1, pack.plan().series())
        .mapToDouble(cell -> pack.reading().cells().mv(cell))
        .max()
        .orElseThrow();
  }

  private static void isDrawnWell(PlayedPack pack, int silentMinutes, String drawn) {
    StandingWall wall = new StandingWall(pack.nowMs() + silentMinutes * 60_000L);
    List<PagePack> packs = List.of(PagePack.polledEvery(pack.plan(), 3_600_000));
    try (TestPage page =
        TestPage.of(TestPage.open(), packs, (id, from, to) -> pack.read(from, to), wall)) {
      pack.tell(page.page());
      if (silentMinutes > 0) {
        page.page()
            .state(
                pack.plan().id(), new PackState(PackState.Word.SILENT, pack.nowMs(), "no answer"));
      }
      BrowserTab tab = BROWSER.tab();
      for (int width : new int[] {360, 768, 1400}) {
        tab.size(width, 800);
        tab.go(page.address() + "/");
        tab.await("document.querySelectorAll('svg.strip path').length > 8");

        assertThat(tab.text(FLAWS))
            .as("%s, %d px, %d min silent", drawn, width, silentMinutes)
            .isEmpty();
      }
    }
  }

  /** Notes every letter and box of a mark that a plot shows, each with its frame. */
  private static final String NOTED =
      """
      const context = CanvasRenderingContext2D.prototype;
      const { clearRect, fillText, strokeRect } = context;
      const note = (canvas, what, left, top, right, bottom) =>
        (canvas.drawn ??= []).push({ what, left, top, right, bottom });
      context.clearRect = function (...all) {
        this.canvas.drawn = [];
        return clearRect.apply(this, all);
      };
      context.strokeRect = function (x, y, width, height) {
        note(this.canvas, 'mark', x, y, x + width, y + height);
        return strokeRect.call(this, x, y, width, height);
      };
      context.fillText = function (text, x, y, ...more) {
        const m = this.measureText(text);
        const isMark = /^([a-z]|\\d+)[+]?$/.test(text) && this.font.includes('bold');
        if (!isMark) note(this.canvas, text, x - m.actualBoundingBoxLeft, y - m.actualBoundingBoxAscent,
          x + m.actualBoundingBoxRight, y + m.actualBoundingBoxDescent);
        return fillText.call(this, text, x, y, ...more);
      };
      """;

  private static final String CROSSED =
      """
      [...document.querySelectorAll('.plot canvas')].flatMap(({ drawn }) =>
        drawn.flatMap((one, i) => drawn.slice(i + 1)
          .filter((other) => Math.min(one.right, other.right) - Math.max(one.left, other.left) > 1
            && Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top) > 1)
          .map((other) => `${one.what} over ${other.what}`))).join(' | ')
      """;

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void noNameOfAPlotOfThePastIsUnderAnother(long seed) {
    Random random = new Random(seed);
    String name = NIGHTS.get((int) seed % NIGHTS.size());
    PlayedPack pack =
        new PlayedPack(TestScenarios.polledEvery(POLL_S, name).withSeed(random.nextInt(9_999)))
            .play(LEAST_MINUTES + random.nextInt(MOST_MINUTES), false);
    List<PagePack> packs = List.of(PagePack.polledEvery(pack.plan(), 3_600_000));
    List<Remark> remarks =
        random
            .longs(5, pack.nowMs() - 10 * 3_600_000L, pack.nowMs())
            .sorted()
            .mapToObj(at -> new Remark(at, "Ann", "seen"))
            .toList();
    PackHistory past = (id, from, to) -> marked(pack.read(from, to), remarks);
    StandingWall wall = new StandingWall(pack.nowMs());
    try (TestPage page = TestPage.of(TestPage.open(), packs, past, wall)) {
      BrowserTab tab = BROWSER.tab();
      tab.call("Page.addScriptToEvaluateOnNewDocument", Facts.of().put("source", NOTED).build());
      String day = Instant.ofEpochMilli(pack.nowMs()).toString().substring(0, 10);
      String address = page.address() + "/pack/" + pack.plan().id() + "/past?span=" + day;
      for (int width : new int[] {360, 768, 1400}) {
        tab.size(width, 800);
        tab.go(address);
        tab.await("document.querySelectorAll('.plot canvas').length > 2");
        tab.await("[...document.querySelectorAll('.plot canvas')].every(c => c.drawn?.length)");

        assertThat(tab.text(CROSSED)).as("%s, seed %d, %d px", name, seed, width).isEmpty();
      }
    }
  }

  private static PackHistory.Stretch marked(PackHistory.Stretch read, List<Remark> remarks) {
    return new PackHistory.Stretch(
        read.tracks(), read.gaps(), read.alerts(), remarks, OptionalLong.empty(), "");
  }

  /** What is over but for the time that it may come back in is not said to be so now. */
  private static String how(Alert alert) {
    boolean isGone =
        alert.state() == AlertState.RETURNED || alert.text().startsWith("No longer the case");
    return switch (alert.priority()) {
      case CRITICAL -> isGone ? "Was critical" : "Critical";
      case WARNING -> isGone ? "Was a warning" : "Warning";
      case NOTE -> isGone ? "Was a note" : "Note";
    };
  }

  /** What is over is told by its peak, as in reports. */
  private static String said(Alert alert, long nowMs) {
    return alert.state() == AlertState.RETURNED
        ? AlertSpan.over(alert, nowMs, ZoneId.of("Europe/Lisbon")).orElse(alert.text())
        : alert.text();
  }

  /** Each cell's distance from the middle one, counted here anew. */
  private static Facts apart(CellVoltages cells) {
    List<Double> mv = IntStream.rangeClosed(1, cells.count()).mapToObj(cells::mv).sorted().toList();
    int half = mv.size() / 2;
    double median = (mv.get(half) + mv.get(mv.size() - 1 - half)) / 2;
    return Facts.of()
        .put(
            "cells",
            mv.stream().map(own -> Facts.of().put("away_mv", own - median, 2).build()).toList())
        .build();
  }
}
