package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.cellherd.alert.Alert;
import org.cellherd.app.verb.PackTruth.Night;
import org.cellherd.pack.SpokenTime;
import org.cellherd.pack.StorageFailure;

/**
 * What the alerts say of packs whose truth is known: imports and judges each pack of some folders
 * and counts alerts by rule. The packs are those of the environment's population; {@code
 * healthy_packs.py} beside this class's test resources makes those without a fault.
 *
 * <pre>
 * FOLDER...      folders of packs; a line an alert goes to standard error, the table to standard output
 * </pre>
 */
public final class PopulationJudge {
  private static final long DAY_MS = 86_400_000;
  private static final long HOUR_MS = 3_600_000;

  private final Map<String, Row> rows = new TreeMap<>();
  private double days;
  private int packs;
  private final Map<String, Integer> nights = new TreeMap<>();

  /** One rule's counts. */
  private static final class Row {
    private int raised;
    private int untrue;
    private int packs;
    private long mostADay;
  }

  /** Runs it. */
  public static void main(String[] folders) throws IOException, StorageFailure {
    PopulationJudge judge = new PopulationJudge();
    Path work = Files.createTempDirectory("judged");
    for (String folder : folders) {
      try (Stream<Path> found = Files.list(Path.of(folder))) {
        for (Path pack : found.sorted().toList()) {
          JudgedPack judged = JudgedPack.of(pack, work);
          judge.take(judged);
          judge.tell(judged);
        }
      }
    }
    Files.delete(work);
    System.out.print(judge.table());
  }

  /** Counts a pack's alerts. */
  void take(JudgedPack pack) {
    packs++;
    days += pack.truth().days();
    pack.truth().nights().forEach(night -> takeNight(night, pack.raised()));
    Map<String, List<Alert>> byRule =
        pack.raised().stream()
            .collect(
                Collectors.groupingBy(PopulationJudge::name, TreeMap::new, Collectors.toList()));
    byRule.forEach(
        (rule, alerts) -> {
          Row row = rows.computeIfAbsent(rule, r -> new Row());
          row.packs++;
          row.raised += alerts.size();
          row.untrue += (int) alerts.stream().filter(a -> !pack.truth().bears(a)).count();
          row.mostADay = Math.max(row.mostADay, mostOfACell(alerts));
        });
  }

  private void takeNight(Night night, List<Alert> raised) {
    String kind = night.isEmpty() ? "empty" : "not empty";
    nights.merge(kind, 1, Integer::sum);
    List<Alert> told =
        raised.stream()
            .filter(a -> a.key().rule().word().equals("empty-ahead"))
            .filter(a -> a.timeMs() >= night.fromMs() && a.timeMs() < night.emptyMs())
            .toList();
    told.stream()
        .map(a -> kind + ", " + a.priority().word())
        .distinct()
        .forEach(words -> nights.merge(words, 1, Integer::sum));
    if (!told.isEmpty()) {
      nights.merge(kind + ", told", 1, Integer::sum);
      boolean isInTime = told.get(0).timeMs() < night.emptyMs() - HOUR_MS;
      nights.merge(kind + ", told an hour before", isInTime ? 1 : 0, Integer::sum);
    }
  }

  private static String name(Alert alert) {
    return alert.key().rule().word() + " " + alert.priority().word();
  }

  /** The most often that one alert of a rule, which is one cell's, was raised within any 24 h. */
  static long mostOfACell(List<Alert> alerts) {
    return alerts.stream().collect(Collectors.groupingBy(Alert::key)).values().stream()
        .mapToLong(PopulationJudge::mostADay)
        .max()
        .orElse(0);
  }

  private static long mostADay(List<Alert> alerts) {
    return alerts.stream()
        .mapToLong(
            a ->
                alerts.stream()
                    .filter(b -> b.timeMs() >= a.timeMs() && b.timeMs() < a.timeMs() + DAY_MS)
                    .count())
        .max()
        .orElse(0);
  }

  private void tell(JudgedPack pack) {
    System.err.printf(Locale.ROOT, "%s: %.1f days%n", pack.name(), pack.truth().days());
    for (Alert alert : pack.raised()) {
      System.err.println(
          (pack.truth().bears(alert) ? "    true  " : "    UNTRUE ")
              + SpokenTime.second(alert.timeMs(), ZoneOffset.UTC)
              + " "
              + name(alert)
              + " "
              + alert.key().cell()
              + " "
              + alert.text());
    }
  }

  /** A line a rule. */
  String table() {
    List<String> lines = new ArrayList<>();
    lines.add(String.format(Locale.ROOT, "%d packs, %.1f pack-days", packs, days));
    lines.add("rule                      raised untrue packs most in 24 h, a pack-day");
    rows.forEach(
        (rule, row) ->
            lines.add(
                String.format(
                    Locale.ROOT,
                    "%-25s %6d %6d %5d %14d %10.3f",
                    rule,
                    row.raised,
                    row.untrue,
                    row.packs,
                    row.mostADay,
                    row.raised / days)));
    nights.forEach((kind, count) -> lines.add("nights " + kind + ": " + count));
    return String.join("\n", lines) + "\n";
  }
}
