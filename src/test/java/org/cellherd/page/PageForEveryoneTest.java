package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.Accessibility;
import org.cellherd.BrowserTab;
import org.cellherd.OneBrowser;
import org.cellherd.alert.news.PackState;
import org.cellherd.pack.Facts;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The page in the dark, by keyboard, and on paper: every view of a pack that runs away. */
class PageForEveryoneTest {

  /** 210 mm less Chromium's margins of 10 mm, in CSS pixels. */
  private static final int A4_WIDTH = 718;

  private static final String SHOWN = ".filter(e => e.getClientRects().length > 0)";

  @RegisterExtension private static final OneBrowser BROWSER = new OneBrowser();
  private static PlayedPack pack;
  private static String day;
  private BrowserTab tab;
  private TestPage page;

  @BeforeAll
  static void play() {
    pack = new PlayedPack("runaway").play(900, true);
    day = Instant.ofEpochMilli(pack.nowMs()).toString().substring(0, 10);
  }

  @BeforeEach
  void open() {
    tab = BROWSER.tab();
    page =
        TestPage.of(
            TestPage.open(),
            List.of(PagePack.polledEvery(pack.plan(), 3_600_000)),
            (id, from, to) -> pack.read(from, to),
            new StandingWall(pack.nowMs()));
    pack.tell(page.page());
  }

  @AfterEach
  void close() {
    page.close();
  }

  private void goToAll() {
    tab.go(page.address() + "/");
    tab.await("document.querySelector('main .alert')");
  }

  private void goToPack() {
    tab.go(page.address() + "/pack/crate");
    tab.await("document.querySelector('.strip path') && document.querySelector('.alert')");
  }

  private void goToPast() {
    tab.go(page.address() + "/pack/crate/past?span=" + day);
    tab.await("document.querySelectorAll('.plot canvas').length > 2");
  }

  @Test
  void anAccessibilityEngineFindsNothingWrong() {
    for (Runnable view : List.<Runnable>of(this::goToAll, this::goToPast, this::goToPack)) {
      for (int width : new int[] {360, 1400}) {
        tab.size(width, 800);
        view.run();
        Accessibility.holdsInBothThemes(tab, () -> {});
      }
    }
    page.page().state("crate", new PackState(PackState.Word.SILENT, pack.nowMs(), "no answer"));
    tab.await("document.querySelector('.stale')");
    Accessibility.holdsInBothThemes(tab, () -> {});
  }

  @Test
  void keyboardReachesEveryControlInTheOrderOfThePageAndShowsWhereItIs() {
    for (Runnable view : List.<Runnable>of(this::goToAll, this::goToPack, this::goToPast)) {
      view.run();
      String controls =
          "[...document.querySelectorAll('a[href],button,input,select,summary')]" + SHOWN;
      int count = (int) tab.number(controls + ".length");
      List<Integer> reached = new ArrayList<>();

      // A date has a field for each of its parts: more steps than controls.
      for (int step = 0; step < count + 4; step++) {
        tab.press("Tab");
        int at = (int) tab.number(controls + ".indexOf(document.activeElement)");
        if (at >= 0 && !reached.contains(at)) {
          reached.add(at);
          assertThat(tab.text("getComputedStyle(document.activeElement).outlineStyle"))
              .isEqualTo("solid");
        }
      }

      assertThat(reached).hasSize(count).isSorted();
    }
  }

  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void paperIsWhiteAndHoldsEveryPicture(boolean dark) {
    tab.size(A4_WIDTH, 1000);
    for (Runnable view : List.<Runnable>of(this::goToAll, this::goToPack, this::goToPast)) {
      tab.dark(dark);
      view.run();
      tab.call("Emulation.setEmulatedMedia", Facts.of().put("media", "print").build());

      assertThat(tab.text("getComputedStyle(document.body).backgroundColor"))
          .isEqualTo("rgb(255, 255, 255)");
      assertThat(tab.scrollsSideways()).isFalse();
      assertThat(
              tab.number(
                  "[...document.querySelectorAll('canvas,svg,table,li')]"
                      + SHOWN
                      + ".filter(e => e.getBoundingClientRect().right > innerWidth).length"))
          .isZero();
      assertThat(tab.number("[...document.querySelectorAll('button,nav')]" + SHOWN + ".length"))
          .isZero();
    }
  }
}
