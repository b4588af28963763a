package org.cellherd.app.verb;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.CapacityResult.Conditions;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.TestCurves;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.pack.StorageFailure;
import org.cellherd.report.TextTable;
import org.cellherd.report.Titles;
import org.cellherd.report.plot.DischargeLines;
import org.cellherd.report.plot.DischargePlot;
import org.cellherd.report.plot.Plots;
import org.cellherd.store.LogFile;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

@Command(
    name = "capacity",
    mixinStandardHelpOptions = true,
    description =
        "Capacity tests found in the log: Ah, Wh, share of rated, which cell limits; with --plot "
            + "their discharge curves.")
final class CapacityVerb extends FindingVerb {

  private static final double MV_PER_V = 1000;

  /** Fewer are read in sentences. */
  private static final int LEAST_ROWS = 5;

  @Mixin private PictureOptions picture;

  CapacityVerb() {
    super(
        FindingName.CAPACITY,
        Told.EACH,
        "No full discharge was found in the log. Charge until full, then discharge to the"
            + " cut-off.");
  }

  /**
   * Tests one by one, many as a table and the newest in words; discharges refused for one reason,
   * whatever its numbers, in one sentence.
   */
  @Override
  List<String> sentences(List<Finding> answer, ZoneId zone) {
    Map<String, List<Finding>> refused = new LinkedHashMap<>();
    List<Finding> tests = new ArrayList<>();
    for (Finding finding : answer) {
      String reason =
          finding.result(CapacityResult.class).flatMap(CapacityResult::reason).orElse("");
      if (reason.isEmpty()) {
        tests.add(finding);
      } else {
        String kind = reason.replaceAll("[0-9.]+", "0");
        refused.computeIfAbsent(kind, k -> new ArrayList<>()).add(finding);
      }
    }
    List<String> lines = new ArrayList<>();
    boolean isTable = tests.size() >= LEAST_ROWS;
    if (isTable) {
      lines.addAll(table(tests, zone));
    }
    tests.stream()
        .skip(isTable ? tests.size() - 1 : 0)
        .forEach(test -> lines.add(dated(test, zone)));
    refused.values().forEach(equal -> lines.add(refusal(equal, zone)));
    return lines;
  }

  /** What differs from test to test; the rest is said of the newest, and by {@code --json}. */
  private static List<String> table(List<Finding> tests, ZoneId zone) {
    TextTable table =
        new TextTable(0).row("Test", "Ah", "low to high", "of rated, %", "A", "°C", "ended by");
    for (Finding finding : tests) {
      CapacityResult test = finding.result(CapacityResult.class).orElseThrow();
      Interval ah = test.ah().orElseThrow();
      Conditions how = test.conditions();
      table.row(
          SpokenTime.day(finding.toMs(), zone),
          Spoken.number(ah.mid(), 1),
          Spoken.between(ah.low(), ah.high(), 1),
          test.ratedPct().isPresent() ? Spoken.number(test.ratedPct().getAsDouble(), 0) : "-",
          Spoken.number(test.meanCurrentA(), 1),
          Double.isNaN(how.meanTempC()) ? "-" : Spoken.number(how.meanTempC(), 0),
          how.partial() ? "stop with charge left" : "cell " + how.limitingCell());
    }
    return table.lines();
  }

  private static String refusal(List<Finding> equal, ZoneId zone) {
    Finding latest = equal.get(equal.size() - 1);
    if (equal.size() == 1) {
      return dated(latest, zone);
    }
    return String.format(
        Locale.ROOT,
        "%d discharges from %s to %s are no capacity tests, all for one reason. The latest: %s",
        equal.size(),
        SpokenTime.second(equal.get(0).fromMs(), zone),
        SpokenTime.second(latest.toMs(), zone),
        latest.sentence());
  }

  @Override
  void begin() {
    picture.check();
  }

  @Override
  void beside(LogFile file, PackConfig pack, List<Finding> answer) throws StorageFailure {
    if (!picture.isWanted()) {
      return;
    }
    List<TestedDischarge> tests = TestCurves.of(file, pack, answer);
    double cutOff = pack.plan().limits().cutOffLowMv() / MV_PER_V;
    DischargeLines lines = DischargeLines.ofPack(tests, cutOff, zone());
    picture.write(
        DischargePlot.scene(lines, DischargePlot.Over.CHARGE, Plots.DISCHARGE.wide())
            .map(scene -> Headed.scene(scene, Titles.pack(pack.plan())))
            .orElseThrow(
                () -> new Stop(ExitCode.NO, "there is no test from full to empty to draw")),
        output());
  }

  /** Which single reading of a meter would narrow the newest test most. */
  @Override
  Optional<String> sum(List<Finding> tests) {
    return tests.stream()
        .flatMap(f -> f.result(CapacityResult.class).stream())
        .filter(test -> test.ah().isPresent())
        .reduce((earlier, later) -> later)
        .filter(test -> !test.sensor().metered())
        .map(CapacityVerb::narrowing);
  }

  private static String narrowing(CapacityResult test) {
    double ah = test.ah().orElseThrow().mid();
    Interval offset = test.sensor().offsetAh();
    return MeterAdvice.ofCharge(
        test.sensor().gainPct() / 100 * ah,
        (offset.high() - offset.low()) / 2,
        test.meanCurrentA());
  }
}
