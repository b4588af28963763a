package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.cellherd.Accessibility;
import org.cellherd.BrowserTab;
import org.cellherd.OneBrowser;
import org.cellherd.alert.news.PackState;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.discharge.DischargeCurve;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.pack.Facts;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Every state that a page can be in, in both themes and at three widths, by an engine's rules. */
class EveryStateForEveryoneTest {

  private static final int[] WIDTHS = {360, 768, 1400};
  private static final long DAY_MS = 86_400_000;
  private static final String SECRET = "a-secret-of-24-characters";
  private static final String PLOTS = "document.querySelectorAll('.plot canvas').length > 2";
  private static final String LISTED =
      "document.querySelectorAll('tbody tr').length === 12"
          + " && document.querySelector('td.mark.critical')";

  @RegisterExtension private static final OneBrowser BROWSER = new OneBrowser();
  private static PlayedPack night;
  private static PlayedPack wide;
  private static PlayedPack runaway;
  @TempDir private Path reports;

  /** What is seen where, and how it is known to be there. */
  enum View {
    NOTHING_HEARD("/", "document.querySelector('h1')"),
    NIGHT("/", "document.querySelector('.strip path')"),
    SILENT("/", "document.querySelector('.stale')"),
    SIXTEEN_CELLS("/", "document.querySelector('.strip path')"),
    RUNAWAY(
        "/", "document.querySelector('.strip path') && document.querySelector('.alert button')"),
    RUNAWAY_SILENT(
        "/", "document.querySelector('.stale') && document.querySelector('.alert button')"),
    LOST("/", "document.querySelector('.strip path') && document.querySelector('.alert button')"),
    SEEN(
        "/",
        "document.querySelector('.alert')?.textContent.includes('Seen by Anna')"
            + " && document.querySelector('details:not([hidden]) .lately li')"),
    NO_SUCH_SPAN(
        "/pack/crate/past?span=2026-13-45",
        "!['', 'Reading the log"
            + " \u2026'].includes(document.querySelector('.headline').textContent)"),
    PACKS("/", LISTED),
    LOGIN("/", "document.getElementById('token')"),
    WRONG_TOKEN("/", "document.getElementById('token')"),
    LOOK_BACK("/pack/crate/past?span=2026-01-10", PLOTS),
    SEASON("/pack/crate/past?span=2026", PLOTS),
    LOOK_BACK_AT_NOTHING("/pack/crate/past?span=2001-01-01", "document.querySelector('main p')"),
    TESTS("/pack/crate/tests", "document.querySelector('.discharge path')"),
    NO_TEST("/pack/crate/tests", "document.querySelector('main p')"),
    REPORTS("/reports", "document.querySelector('main a')"),
    NO_REPORTS("/reports", "document.querySelector('main p')");

    private final String path;
    private final String ready;

    View(String path, String ready) {
      this.path = path;
      this.ready = ready;
    }
  }

  @BeforeAll
  static void play() {
    night = new PlayedPack("first-night").play(240, false);
    wide = new PlayedPack("first-night-16s").play(240, false);
    runaway = new PlayedPack("runaway").play(62, false);
  }

  @ParameterizedTest
  @EnumSource
  void anAccessibilityEngineFindsNothingWrong(View view) throws Exception {
    BrowserTab tab = BROWSER.tab();
    for (int width : WIDTHS) {
      tab.size(width, 800);
      tab.dark(false);
      try (TestPage page = open(view)) {
        tab.go(page.address() + view.path);
        tab.await(view.ready);
        if (view == View.WRONG_TOKEN) {
          tab.evaluate("document.getElementById('token').focus()");
          tab.type("wrong");
          tab.press("Enter");
          tab.await("document.querySelector('[role=alert]')");
        }
        if (view == View.LOST) {
          page.local().close();
          tab.await("document.body.classList.contains('lost')");
        }
        holds(tab, view, width, false);
        if (tab.is("document.querySelector('details:not([open]):not([hidden])')")) {
          holds(tab, view, width, true);
        }
      }
    }
  }

  private static void holds(BrowserTab tab, View view, int width, boolean isUnfolded) {
    Accessibility.holdsInBothThemes(
        tab,
        () -> {
          if (isUnfolded) {
            tab.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })");
          }
          assertThat(tab.scrollsSideways()).as("%s at %d", view, width).isFalse();
        });
  }

  private static final String LOOK =
      """
      [...document.querySelectorAll('h1,.alert.first .what,.alert.first .step,.headline')]
        .map((node) => JSON.stringify([node.textContent, node.className,
          Math.round(node.getBoundingClientRect().top),
          getComputedStyle(node).color, getComputedStyle(node).fontSize])).join('\\n')
      """;

  /** Painted before the script runs, and nothing of it moves or changes when it does. */
  @ParameterizedTest
  @EnumSource(
      names = {
        "NOTHING_HEARD",
        "NIGHT",
        "SILENT",
        "SIXTEEN_CELLS",
        "RUNAWAY",
        "RUNAWAY_SILENT",
        "PACKS"
      })
  void theAnswerStandsInTheDocument(View view) throws Exception {
    BrowserTab tab = BROWSER.tab();
    try (TestPage page = open(view)) {
      for (int width : WIDTHS) {
        tab.size(width, 800);
        script(tab, false);
        tab.go(page.address() + view.path);
        List<String> before = tab.text(LOOK).lines().toList();
        script(tab, true);
        tab.go(page.address() + view.path);
        tab.await("performance.getEntriesByName('shown').length");
        tab.await(view.ready);

        assertThat(tab.text(LOOK).lines().toList())
            .as("%s at %d", view, width)
            .hasSizeGreaterThan(1)
            .containsSubsequence(before);
        assertThat(before).hasSizeGreaterThan(1);
      }
    }
  }

  private static void script(BrowserTab tab, boolean isOn) {
    tab.call("Emulation.setScriptExecutionDisabled", Facts.of().put("value", !isOn).build());
  }

  private TestPage open(View view) throws Exception {
    if (view != View.NO_REPORTS) {
      Files.writeString(reports.resolve("2026-01-10.html"), "<!DOCTYPE html><title>n</title><p>n");
    }
    PageSettings settings =
        view == View.LOGIN || view == View.WRONG_TOKEN
            ? TestPage.locked(SECRET)
            : new PageSettings(
                PageSettings.loopback(0).listen(),
                Optional.empty(),
                List.of(),
                Optional.of(reports));
    List<PagePack> packs =
        view == View.PACKS
            ? Stream.concat(
                    IntStream.rangeClosed(1, 11)
                        .mapToObj(n -> TestPacks.pack("rack-" + n, "Rack " + n)),
                    Stream.of(PagePack.polledEvery(runaway.plan(), 3_600_000)))
                .toList()
            : List.of(PagePack.polledEvery(played(view).plan(), 3_600_000));
    StandingWall wall = new StandingWall(played(view).nowMs());
    TestPage page = TestPage.of(settings, packs, new Past(view), wall);
    if (view == View.PACKS) {
      page.page().reading("rack-3", TestPacks.reading(runaway.nowMs()));
      runaway.tell(page.page());
      page.page().state("rack-4", new PackState(PackState.Word.SILENT, 0, "no answer"));
    } else if (view != View.NOTHING_HEARD) {
      played(view).tell(page.page());
    }
    if (view == View.SEEN) {
      page.page().event(TestPacks.acknowledged("seen", "Cell 3 runs ahead.", "Anna"));
    }
    if (view == View.SILENT || view == View.RUNAWAY_SILENT) {
      PackState quiet = new PackState(PackState.Word.SILENT, played(view).nowMs(), "no answer");
      page.page().state(played(view).plan().id(), quiet);
    }
    return page;
  }

  private static PlayedPack played(View view) {
    return switch (view) {
      case SIXTEEN_CELLS -> wide;
      case PACKS, RUNAWAY, RUNAWAY_SILENT, LOST -> runaway;
      default -> night;
    };
  }

  /** The night's log, the same each day of a season, or none. */
  private record Past(View view) implements PackHistory {
    @Override
    public Stretch read(String pack, long fromMs, long toMs) {
      return played(view).read(fromMs, toMs);
    }

    @Override
    public List<TestedDischarge> tests(String pack) {
      return view == View.TESTS ? List.of(test(5.4, 0), test(13.5, DAY_MS)) : List.of();
    }
  }

  private static TestedDischarge test(double amps, long laterMs) {
    double ah = 22 - amps / 20;
    DischargeCurve.Builder curve = new DischargeCurve.Builder(30, 4);
    for (int percent = 0; percent <= 100; percent++) {
      double drawn = ah * percent / 100;
      double cell = 3.35 - amps * 0.001 - 0.8 * Math.pow(percent / 100.0, 20);
      curve.add(new DischargeCurve.Point(drawn, drawn * 13, 4 * cell, cell - 0.01, amps));
    }
    Interval all = new Interval(ah * 0.99, ah, ah * 1.02);
    long endMs = night.nowMs() + laterMs;
    return new TestedDischarge("crate", endMs, curve.build(4, 2), all, ah * 13, amps, 22, 27);
  }
}
