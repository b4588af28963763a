package org.cellherd.app.verb;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.setpoint.SetPoints;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.TestCurves;
import org.cellherd.pack.StorageFailure;
import org.cellherd.report.Made;
import org.cellherd.report.lid.LidFacts;
import org.cellherd.report.lid.LidPage;
import org.cellherd.report.plot.DischargeLines;
import org.cellherd.report.plot.DischargePlot;
import org.cellherd.report.plot.Plots;
import org.cellherd.report.scene.Drawing;
import org.cellherd.store.LogFile;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Parameters;

@Command(
    name = "setpoints",
    mixinStandardHelpOptions = true,
    header = "What to enter in board and charger, and the page for the crate's lid.",
    description =
        "Derives voltages, currents and temperatures from the plan, each with its reason and"
            + " source, and the charge that a resting voltage may mean. Keeps what the plan has"
            + " where it fits. Enters nothing itself: a person does that, and compares it with the"
            + " cell maker's sheet.")
final class SetpointsVerb implements Callable<Integer> {

  /** A pack that tested lower than this is no pack any more; currents stay above 0. */
  private static final double LEAST_HEALTH = 0.05;

  private static final double MV_PER_V = 1000;

  /** Height of the tests' curves before they are scaled to their column. */
  private static final double CURVES_HIGH = 170;

  @Mixin private LogOptions log;
  @Mixin private AnswerOutput output;

  @Parameters(
      arity = "0..1",
      paramLabel = "FILE",
      description =
          "The page for the lid: a file that ends in .pdf, .html, .svg or .png; without it, text.")
  private Optional<Path> target = Optional.empty();

  @Override
  public Integer call() throws StorageFailure {
    PackConfig pack = log.pack();
    List<Finding> tests = new ArrayList<>(AcceptedTests.of(log, pack));
    Collections.reverse(tests);
    SetPoints points =
        SetPoints.of(pack.plan(), health(tests, pack), plan -> OurAlarms.watch(pack, plan));
    Made made = ProgramVersion.made(log.zone());
    if (output.isJson()) {
      output.json(SetPointsText.facts(points));
    } else if (target.isEmpty()) {
      SetPointsText.lines(points).forEach(output::line);
    }
    if (target.isPresent()) {
      Optional<Drawing> curves = curves(tests, pack);
      LidFacts lid = new LidFacts(points, pack.plan().unitsAt(made.atMs()), tests, curves, made);
      WholeFile.write(target.get(), bytes(lid, target.get()), output);
    }
    return log.code();
  }

  private static double health(List<Finding> newestFirst, PackConfig pack) {
    return newestFirst.stream()
        .findFirst()
        .flatMap(t -> t.result(CapacityResult.class))
        .flatMap(CapacityResult::ah)
        .map(ah -> ah.mid() / pack.plan().ratedAh())
        .map(share -> Math.max(LEAST_HEALTH, Math.min(1, share)))
        .orElse(1.0);
  }

  private Optional<Drawing> curves(List<Finding> newestFirst, PackConfig pack)
      throws StorageFailure {
    if (newestFirst.isEmpty()) {
      return Optional.empty();
    }
    List<Finding> tests = new ArrayList<>(newestFirst);
    Collections.reverse(tests);
    double cutOff = pack.plan().limits().cutOffLowMv() / MV_PER_V;
    try (LogFile file = log.openForReading()) {
      List<TestedDischarge> curves = TestCurves.of(file, pack, tests);
      log.notice(file);
      return DischargePlot.scene(
          DischargeLines.ofPack(curves, cutOff, log.zone()),
          DischargePlot.Over.CHARGE,
          Plots.Size.narrow(CURVES_HIGH));
    }
  }

  private static byte[] bytes(LidFacts facts, Path file) {
    return new ByEnding()
        .bytes(".pdf", () -> LidPage.pdf(facts))
        .text(".html", () -> LidPage.html(facts))
        .text(".svg", () -> LidPage.svg(facts))
        .bytes(".png", () -> LidPage.png(facts))
        .of(file);
  }
}
