package org.cellherd.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.cellherd.Accessibility;
import org.cellherd.BrowserTab;
import org.cellherd.Contrast;
import org.cellherd.OneBrowser;
import org.cellherd.pack.Facts;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Reports as people meet them: on a phone, at a desk, in the dark, on paper, by keyboard, by ear.
 */
class ReportInBrowserTest {

  private static final Path LOOK_AT = Path.of("target", "report-pictures");
  private static final String SHOWN = "e => e.getClientRects().length > 0 && e.checkVisibility()";

  private static final String NAMED =
      "e => e.getAttribute('href') || e.getAttribute('aria-label')"
          + " || e.parentNode.getAttribute('aria-label')";

  @TempDir private static Path folder;
  @RegisterExtension private static final OneBrowser BROWSER = new OneBrowser();
  private static String night;
  private static String season;
  private BrowserTab tab;

  @BeforeAll
  static void make() throws Exception {
    night = write("night.html", HtmlReport.of(Nights.first()));
    season = write("season.html", HtmlReport.of(Nights.season()));
  }

  private static String write(String name, String html) throws Exception {
    Path file = folder.resolve(name);
    Files.writeString(file, html);
    return file.toUri().toString();
  }

  @BeforeEach
  void open() {
    tab = BROWSER.tab();
  }

  private List<String> list(String expression) {
    String joined = tab.text("(" + expression + ").join('\\n')");
    return joined.isEmpty() ? List.of() : List.of(joined.split("\n"));
  }

  @ParameterizedTest
  @ValueSource(ints = {320, 360, 700, 701, 1400})
  void nothingIsWiderThanTheWindow(int width) {
    tab.size(width, 800);
    for (String page : List.of(night, season)) {
      tab.go(page);

      assertThat(tab.scrollsSideways()).as(page).isFalse();
    }
  }

  /** Then plots and headings; numbers wait until they are asked for. */
  @Test
  void aPhoneShowsTheAnswerOnItsFirstScreen() {
    tab.size(360, 740);
    for (String page : List.of(night, season)) {
      tab.go(page);

      assertThat(tab.number("document.querySelector('nav').getBoundingClientRect().bottom"))
          .isLessThan(740);
      assertThat(list("[...document.querySelectorAll('dl')].filter(" + SHOWN + ")")).isEmpty();
      tab.evaluate("document.querySelector('summary').click()");
      assertThat(list("[...document.querySelectorAll('dl')].filter(" + SHOWN + ")")).isNotEmpty();
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {360, 1400})
  void everyTextHasContrast(int width) throws Exception {
    Files.createDirectories(LOOK_AT);
    tab.size(width, 800);
    for (String page : List.of(night, season)) {
      tab.go(page);
      for (String theme : List.of("light", "dark")) {
        tab.dark(theme.equals("dark"));
        if (page.equals(night)) {
          tab.screenshot(LOOK_AT.resolve("night-" + width + "-" + theme + ".png"), true);
        }
        Contrast.suffices(tab);
      }
    }
  }

  @Test
  void anAccessibilityEngineFindsNothingWrong() {
    for (String page : List.of(night, season)) {
      tab.go(page);
      Accessibility.holdsInBothThemes(tab, () -> {});
    }
  }

  @Test
  void headingsDescendOneStepAtATime() {
    tab.go(night);

    List<Integer> levels =
        list("[...document.querySelectorAll('h1,h2,h3,h4,h5,h6')].map(h => h.tagName[1])").stream()
            .map(Integer::parseInt)
            .toList();

    assertThat(levels).startsWith(1).filteredOn(level -> level == 1).hasSize(1);
    for (int i = 1; i < levels.size(); i++) {
      assertThat(levels.get(i)).isLessThanOrEqualTo(levels.get(i - 1) + 1);
    }
  }

  @Test
  void screenReaderIsToldEveryPictureLinkAndTable() {
    tab.go(night);

    List<String> told = tab.accessibility();

    assertThat(told)
        .anyMatch(node -> node.startsWith("group \"Herd strip: distance of every cell"))
        .anyMatch(node -> node.startsWith("group \"Cell voltages"))
        .anyMatch(node -> node.startsWith("link \"critical alert 2: Cell 5 runs ahead"))
        .anyMatch(node -> node.startsWith("link \"note a: Charger set to 56.8 V <script>"))
        .anyMatch(node -> node.startsWith("navigation \"In this report"))
        .anyMatch(node -> node.startsWith("region \"Cautions"));
    assertThat(told)
        .filteredOn(
            node -> node.matches("(image|img|group|link|region|table|SvgRoot|graphics-doc.*) .*"))
        .isNotEmpty()
        .noneMatch(node -> node.endsWith(" \"\""));
    assertThat(
            list(
                "[...document.querySelectorAll('svg')].filter("
                    + SHOWN
                    + ").filter(s => !['img', 'group'].includes(s.getAttribute('role')))"
                    + ".map(s => s.id)"))
        .isEmpty();
  }

  @Test
  void keyboardGoesThroughTheLinksInTheOrderOfThePage() {
    tab.go(night);
    List<String> inOrder =
        list(
            "[...document.querySelectorAll('a[href],[tabindex=\"0\"],summary')].filter("
                + SHOWN
                + ").map("
                + NAMED
                + ")");
    List<String> reached = new ArrayList<>();

    for (int i = 0; i < inOrder.size(); i++) {
      tab.press("Tab");
      reached.add(tab.text("(" + NAMED + ")(document.activeElement)"));
    }

    assertThat(reached).isEqualTo(inOrder).startsWith("#alerts");
  }

  @Test
  void markLeadsToItsAlertAndTheAlertBackToTheHerdStrip() {
    tab.go(night);
    tab.evaluate("document.querySelector('.wide a[href=\"#alert-2\"]').focus()");

    tab.press("Enter");
    tab.await("location.hash === '#alert-2'");

    assertThat(tab.text("document.activeElement.id")).isEqualTo("alert-2");
    assertThat(
            tab.is("document.getElementById('alert-2').getBoundingClientRect().top < innerHeight"))
        .isTrue();
    assertThat(tab.text("document.querySelector('#alert-2 a').getAttribute('href')"))
        .isEqualTo("#herd");
    assertThat(
            list(
                "[...document.querySelectorAll('a')].map(a => a.getAttribute('href'))"
                    + ".filter(h => !document.getElementById(h.slice(1)))"))
        .isEmpty();
  }

  @Test
  void nothingIsFetchedAndHostileNamesStayText() {
    tab.go(night);

    assertThat(tab.requests()).containsExactly(night);
    assertThat(tab.complaints()).isEmpty();
    assertThat(tab.number("document.scripts.length")).isZero();
    assertThat(tab.text("document.querySelector('h1').textContent"))
        .startsWith("Radio crate <2> & \"co\", ");
  }

  @Test
  void paperHasEveryColumnOfEveryTableInBlackOnWhite() throws Exception {
    tab.dark(true);
    tab.call("Emulation.setEmulatedMedia", Facts.of().put("media", "print").build());
    tab.size(A4_WIDTH, 1000);
    for (String page : List.of(night, season)) {
      tab.go(page);

      assertThat(
              list(
                  "[...document.querySelectorAll('table,svg,dl')].filter("
                      + SHOWN
                      + ").filter(t => t.getBoundingClientRect().right > innerWidth)"
                      + ".map(t => t.textContent)"))
          .isEmpty();
      assertThat(tab.text("getComputedStyle(document.body).backgroundColor"))
          .isEqualTo("rgb(255, 255, 255)");
      assertThat(list("[...document.querySelectorAll('.narrow')].filter(" + SHOWN + ")")).isEmpty();
      assertThat(list("[...document.querySelectorAll('dl')].filter(e => !(" + SHOWN + ")(e))"))
          .isEmpty();
    }
  }

  @Test
  void noPageSaysSafeOutsideTheCautions() {
    for (String page : List.of(night, season)) {
      tab.go(page);
      tab.evaluate("document.querySelector('.caution').remove()");

      assertThat(tab.text("document.body.textContent").toLowerCase(Locale.ROOT))
          .doesNotContain("safe");
    }
  }

  /** 210 mm less Chromium's margins of 10 mm, in CSS pixels. */
  private static final int A4_WIDTH = 718;
}
