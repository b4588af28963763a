package org.cellherd.page;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.DoubleSupplier;
import java.util.stream.DoubleStream;
import org.cellherd.Browser;
import org.cellherd.BrowserTab;
import org.cellherd.JavaCommand;

/**
 * How long a person waits: {@code main} without words for the first view of a page; with the log of
 * a {@code simulate}d year and its plan for the report of that year, too. Each time stands beside
 * that of the least that could be asked for, in the same run: an idle machine is wanted.
 */
final class FaceBenchmark {

  private static final int TIMES = 9;
  private static final String STRIP = "document.querySelector('.strip path')";
  private static final double NS_PER_S = 1e9;

  private FaceBenchmark() {}

  /** Prints a line a measurement. */
  public static void main(String[] words) throws Exception {
    PlayedPack pack = new PlayedPack("first-night-16s").play(420, false);
    try (TestPage page =
            TestPage.of(
                TestPage.open(),
                List.of(PagePack.polledEvery(pack.plan(), 3_600_000)),
                (id, from, to) -> pack.read(from, to),
                new StandingWall(pack.nowMs()));
        Browser others = Browser.start()) {
      pack.tell(page.page());
      rounds(page, "");
      List<BrowserTab> open = List.of(others.tab(), others.tab(), others.tab());
      open.forEach(tab -> tab.go(page.address() + "/"));
      open.forEach(tab -> tab.await(STRIP));
      rounds(page, ", three other pages open");
    }
    if (words.length == 2) {
      year(words[0], words[1]);
    }
    System.exit(0);
  }

  /** Two words and the page by turns, each in a browser that was just started. */
  private static void rounds(TestPage page, String where) {
    List<Double> words = new ArrayList<>();
    List<Double> answers = new ArrayList<>();
    List<Double> more = new ArrayList<>();
    List<Double> views = new ArrayList<>();
    List<Double> sizes = new ArrayList<>();
    for (int round = 0; round < TIMES; round++) {
      try (Browser cold = Browser.start();
          BrowserTab tab = cold.tab()) {
        tab.go(page.address() + "/nothing");
        words.add(painted(tab));
      }
      try (Browser cold = Browser.start();
          BrowserTab tab = cold.tab()) {
        tab.go(page.address() + "/");
        answers.add(answered(tab));
        more.add(answers.get(round) - words.get(round));
        views.add(shown(tab));
        sizes.add(kilobytes(tab));
      }
    }
    print("first paint of two words" + where, "ms", words);
    print("first paint of the answer" + where, "ms", answers);
    print("... more than two words" + where, "ms", more);
    print("all drawn" + where, "ms", views);
    print("size" + where, "kB", sizes);
  }

  private static void print(String what, String unit, List<Double> measured) {
    List<Double> all = measured.stream().sorted().toList();
    System.out.printf(
        Locale.ROOT,
        "%-50s median %.1f %s, %.1f to %.1f%n",
        what,
        all.get(TIMES / 2),
        unit,
        all.get(0),
        all.get(TIMES - 1));
  }

  private static void print(String what, String unit, DoubleSupplier measured) {
    print(what, unit, DoubleStream.generate(measured).limit(TIMES).boxed().toList());
  }

  private static double shown(BrowserTab tab) {
    tab.await("performance.getEntriesByName('shown').length && " + STRIP);
    return tab.number("performance.getEntriesByName('shown')[0].startTime");
  }

  /** By the browser's own clock: navigation to the first pixels of any text. */
  private static double painted(BrowserTab tab) {
    String paint = "performance.getEntriesByName('first-contentful-paint')";
    tab.await(paint + ".length");
    return tab.number(paint + "[0].startTime");
  }

  /** The same to the first pixels of the sentence that a person came for. */
  private static double answered(BrowserTab tab) {
    String seen =
        "new Promise(done => new PerformanceObserver(seen => done(seen.getEntries()[0].renderTime))"
            + ".observe({type: 'element', buffered: true}))";
    return tab.evaluate(seen).number("").orElseThrow();
  }

  private static double kilobytes(BrowserTab tab) {
    return tab.number("performance.getEntriesByType('navigation')[0].transferSize") / 1000.0;
  }

  private static void year(String log, String plan) throws IOException {
    Path report = Files.createTempFile("year", ".html");
    print("the program's version", "s", () -> seconds(List.of("--version")));
    List<String> words = new ArrayList<>(List.of("report", "--db", log, "--plan", plan));
    words.addAll(List.of("--from", "2000-01-01", report.toString()));
    print("report of the year", "s", () -> seconds(words));
    System.out.printf(Locale.ROOT, "%-36s %.2f MB%n", "its size", Files.size(report) / 1e6);
    Files.delete(report);
  }

  /** A process of the program, with the start of its virtual machine. */
  private static double seconds(List<String> words) {
    List<String> command = JavaCommand.of(JavaCommand.SHORT, "org.cellherd.app.verb.Main");
    command.addAll(words);
    long from = System.nanoTime();
    try {
      Process process =
          new ProcessBuilder(command)
              .redirectOutput(ProcessBuilder.Redirect.DISCARD)
              .redirectError(ProcessBuilder.Redirect.INHERIT)
              .start();
      if (process.waitFor() != 0) {
        throw new IllegalStateException("cannot measure " + words);
      }
    } catch (IOException | InterruptedException e) {
      throw new IllegalStateException("cannot measure " + words, e);
    }
    return (System.nanoTime() - from) / NS_PER_S;
  }
}
