package org.cellherd.page;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import org.cellherd.Browser;
import org.cellherd.BrowserTab;
import org.cellherd.alert.news.PackState;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Gap;
import org.cellherd.pack.PackPlan;
import org.cellherd.report.Remark;
import org.cellherd.report.plot.Tracks;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.toml.Problems;

/** Takes pictures of the page, to be looked at: {@code main} with a folder. */
final class PagePictures {

  private static final long HOUR_MS = 3_600_000;
  private static final int[] WIDTHS = {1400, 768, 360};

  private PagePictures() {}

  /** Writes PNG files into a folder. */
  public static void main(String[] arguments) throws Exception {
    Path folder = Files.createDirectories(Path.of(arguments[0]));
    List<String> wanted = List.of(arguments).subList(1, arguments.length);
    try (Browser browser = Browser.start();
        BrowserTab tab = browser.tab()) {
      if (wanted.isEmpty() || wanted.contains("moments")) {
        moments(tab, folder);
      }
      if (wanted.isEmpty() || wanted.contains("night")) {
        night(tab, folder, "healthy", new PlayedPack("first-night-16s").play(480, false));
      }
      if (wanted.isEmpty() || wanted.contains("runaway")) {
        night(tab, folder, "runaway", new PlayedPack("runaway").play(900, true).play(4, false));
      }
      if (wanted.isEmpty() || wanted.contains("season")) {
        season(tab, folder);
      }
      if (wanted.isEmpty() || wanted.contains("lost")) {
        lost(tab, folder);
      }
      if (wanted.isEmpty() || wanted.contains("many")) {
        many(tab, folder);
      }
      tab.complaints().forEach(System.out::println);
    }
    System.exit(0);
  }

  /** A first night live: start, knee, runner, held, balanced. */
  private static void moments(BrowserTab tab, Path folder) {
    PlayedPack pack = new PlayedPack("first-night");
    int played = 0;
    Map<String, Integer> minutes = new LinkedHashMap<>();
    minutes.put("start", 4);
    minutes.put("knee", 125);
    minutes.put("runner", 141);
    minutes.put("held", 240);
    minutes.put("balanced", 500);
    for (Map.Entry<String, Integer> moment : minutes.entrySet()) {
      pack.play(moment.getValue() - played, false);
      played = moment.getValue();
      PagePack shown = PagePack.polledEvery(pack.plan(), 3_600_000);
      try (TestPage page = opened(pack, shown)) {
        pack.tell(page.page());
        String ready = "document.querySelector('.strip path')";
        shoot(tab, folder, "night-" + moment.getKey(), page.address() + "/", ready);
      }
    }
  }

  private static void night(BrowserTab tab, Path folder, String name, PlayedPack pack) {
    StandingWall wall = new StandingWall(pack.nowMs());
    PagePack shown = PagePack.polledEvery(pack.plan(), 3_600_000);
    try (TestPage page =
        TestPage.of(TestPage.open(), List.of(shown), (id, f, t) -> pack.read(f, t), wall)) {
      pack.tell(page.page());
      shoot(tab, folder, name, page.address() + "/", "document.querySelector('.strip path')");
      String day = Instant.ofEpochMilli(pack.nowMs()).toString().substring(0, 10);
      shoot(
          tab,
          folder,
          name + "-past",
          page.address() + "/pack/" + pack.plan().id() + "/past?span=" + day,
          "document.querySelectorAll('.plot canvas').length>2");
      long heardMs = pack.nowMs();
      pack.fallSilent(120);
      wall.leap(2 * HOUR_MS);
      page.page()
          .state(pack.plan().id(), new PackState(PackState.Word.SILENT, heardMs, "no answer"));
      pack.engine().standing().forEach(page.page()::standing);
      shoot(tab, folder, name + "-stale", page.address() + "/", "document.querySelector('.stale')");
    }
  }

  private static void season(BrowserTab tab, Path folder) {
    PackPlan plan = PackPlan.of("shed", Chemistry.LFP, 16, 1, 100_000);
    PackHistory history =
        (id, from, to) -> {
          Tracks tracks = new Tracks(from, to);
          for (long day = from; day < to; day += 24 * HOUR_MS) {
            double n = (day - from) / (24.0 * HOUR_MS);
            if ((n > 110 && n < 140) || n > 300) {
              continue;
            }
            Tracks.Span span = new Tracks.Span(day, day + 24 * HOUR_MS);
            double sun = 1 + Math.sin(n / 365.0 * 6.28 - 1.5);
            for (int cell = 1; cell <= 16; cell++) {
              double own = (cell - 8) * 4 + (cell == 11 ? -n * 1.2 : 0) + Math.sin(n + cell) * 6;
              double mean = 33_000 + 250 * sun + own;
              tracks.add(Channel.cell(cell), span, mean - 400, mean, mean + 1200 * sun, 86_400);
            }
            double amps = 1_500 * sun - 1_200;
            Channel current = Channel.of(Channel.Kind.CURRENT);
            tracks.add(current, span, amps - 18_000, amps, amps + 22_000 * sun, 86_400);
            double warm = 60 + 110 * sun;
            tracks.add(Channel.temperature(1), span, warm - 40, warm, warm + 60, 86_400);
          }
          Gap gap =
              new Gap(from + 111 * 24 * HOUR_MS, from + 140 * 24 * HOUR_MS, Gap.Cause.UNKNOWN);
          Remark remark = new Remark(from + 60 * 24 * HOUR_MS, "Anna", "strap 4 tightened");
          return new PackHistory.Stretch(
              tracks, List.of(gap), List.of(), List.of(remark), OptionalLong.empty(), "");
        };
    try (TestPage page =
        TestPage.of(
            TestPage.open(),
            List.of(PagePack.polledEvery(plan, 1000)),
            history,
            new StandingWall(1_767_000_000_000L))) {
      shoot(
          tab,
          folder,
          "season",
          page.address() + "/pack/shed/past?span=2025",
          "document.querySelectorAll('.plot canvas').length>2");
    }
  }

  private static TestPage opened(PlayedPack pack, PagePack shown) {
    return TestPage.of(
        TestPage.open(),
        List.of(shown),
        (id, f, t) -> pack.read(f, t),
        new StandingWall(pack.nowMs()));
  }

  /** A page that lost cellherd. */
  private static void lost(BrowserTab tab, Path folder) {
    PlayedPack pack = new PlayedPack("first-night").play(141, false);
    PagePack shown = PagePack.polledEvery(pack.plan(), 3_600_000);
    for (int width : WIDTHS) {
      tab.size(width, width > 600 ? 900 : 740);
      tab.dark(width < 600);
      try (TestPage page = opened(pack, shown)) {
        pack.tell(page.page());
        tab.go(page.address() + "/");
        tab.await("document.querySelector('.strip path')");
      }
      tab.await("document.body.classList.contains('lost')");
      tab.screenshot(folder.resolve("lost-" + width + ".png"), true);
    }
  }

  /** Twelve racks through the same evening; one runs away, one is silent. */
  private static void many(BrowserTab tab, Path folder) {
    List<PlayedPack> packs = new ArrayList<>();
    for (int n = 1; n <= 12; n++) {
      String text = Scenarios.text(n == 7 ? "runaway" : "first-night").orElseThrow();
      packs.add(
          new PlayedPack(
                  read(
                      text.replaceFirst("\nid = \"[^\"]*\"", "\nid = \"rack-" + n + "\"")
                          .replaceFirst("\nname = \"[^\"]*\"", "\nname = \"Rack " + n + "\"")
                          .replaceFirst("\nseed = \\d+", "\nseed = " + (40 + n))
                          .replaceFirst("\nstart = \\S+", "\nstart = 2026-03-02T09:00:00Z")))
              .play(n == 9 ? 40 : 62, false));
    }
    StandingWall wall = new StandingWall(packs.get(0).nowMs());
    List<PagePack> shown =
        packs.stream().map(p -> PagePack.polledEvery(p.plan(), 3_600_000)).toList();
    try (TestPage page = TestPage.of(TestPage.open(), shown, TestPage.NO_HISTORY, wall)) {
      packs.forEach(pack -> pack.tell(page.page()));
      PlayedPack quiet = packs.get(8);
      page.page()
          .state(
              quiet.plan().id(), new PackState(PackState.Word.SILENT, quiet.nowMs(), "no answer"));
      String ready = "document.querySelectorAll('.outline path').length===12";
      shoot(tab, folder, "many", page.address() + "/", ready);
    }
  }

  private static Scenario read(String text) {
    return Scenario.read("rack.toml", text, new Problems()).orElseThrow();
  }

  private static void shoot(
      BrowserTab tab, Path folder, String name, String address, String ready) {
    for (int width : WIDTHS) {
      for (boolean dark : new boolean[] {false, true}) {
        tab.size(width, width > 600 ? 900 : 740);
        tab.dark(dark);
        tab.go(address);
        tab.await(ready);
        tab.await(
            "new Promise(done => requestAnimationFrame(() => setTimeout(() => done(true), 60)))");
        tab.screenshot(folder.resolve(name + "-" + width + (dark ? "-dark" : "") + ".png"), true);
        System.out.println(name + " " + width + " sideways: " + tab.scrollsSideways());
      }
    }
  }
}
