package org.cellherd.app.verb;

import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.OptionalLong;
import java.util.concurrent.TimeUnit;
import org.cellherd.alert.AlertEvent;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.balance.BalanceWords;

/** The closing words of the demo. */
final class DemoSummary {

  private final List<PackStory> stories;

  DemoSummary(List<PackStory> stories) {
    this.stories = stories;
  }

  void print(
      PrintWriter out, LocalClock clock, MessageTally tally, Path log, Path plan, long tookNanos) {
    out.println();
    for (PackStory story : stories) {
      out.println("What the night says of " + story.plan.name() + ":");
      lead(out, story);
      balance(out, clock, story);
      alerts(out, clock, story);
    }
    long readings = stories.stream().mapToLong(s -> s.readings).sum();
    out.printf(
        Locale.ROOT,
        "  Readings over the line into the log: %,d; messages through the broker: %d (of events:"
            + " %d); in %.1f s.%n",
        readings,
        tally.messages(),
        tally.events(),
        tookNanos / (double) TimeUnit.SECONDS.toNanos(1));
    out.println();
    out.println("Log:  " + log);
    out.println("Plan: " + plan);
    out.println("Try next:");
    String files = " --db " + log + " --plan " + plan;
    for (String next :
        List.of("balance" + files, "report" + files, "demo --scenario bouncing-night", "setup")) {
      out.println(command(next));
    }
    out.flush();
  }

  /** How to call a verb from here: from the sources by Maven, else as the installed program. */
  private static String command(String verb) {
    return Files.isDirectory(Path.of("target", "classes"))
        ? "  mvn -q exec:java -Dexec.args=\"" + verb + "\""
        : "  cellherd " + verb;
  }

  private static void lead(PrintWriter out, PackStory story) {
    out.println(
        story
            .last
            .levelled()
            .apart()
            .map(a -> "  Cell " + BalanceWords.was(a) + " before the board bled it.")
            .orElse("  No cell reached the top, so nothing is known of their leads."));
  }

  private static void balance(PrintWriter out, LocalClock clock, PackStory story) {
    OptionalLong balanced = story.last.levelled().balancedAtMs();
    if (balanced.isPresent()) {
      out.println("  The pack was balanced at " + clock.at(balanced.getAsLong()) + ".");
      return;
    }
    Finding finding = story.findings.get(FindingName.BALANCE);
    out.println(
        "  Balance was not reached: "
            + (finding == null ? "the cells never came to the top." : finding.sentence()));
  }

  private static void alerts(PrintWriter out, LocalClock clock, PackStory story) {
    long raised = story.events.stream().filter(e -> e.change() == AlertEvent.Change.RAISED).count();
    if (raised == 0) {
      out.println("  No alert was raised.");
      return;
    }
    for (AlertEvent event : story.events) {
      if (event.change() == AlertEvent.Change.RAISED) {
        out.println(
            "  "
                + clock.at(event.alert().timeMs())
                + " alerted: "
                + event.alert().text()
                + " First step: "
                + event.alert().firstStep());
      }
    }
  }
}
