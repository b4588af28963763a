package org.cellherd.app.verb;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.cellherd.analysis.discharge.ComparisonWords;
import org.cellherd.analysis.discharge.PackComparison;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.report.ComparisonHtml;
import org.cellherd.report.plot.DischargeLines;
import org.cellherd.report.plot.DischargePlot;
import org.cellherd.report.plot.Plots;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
    name = "compare",
    mixinStandardHelpOptions = true,
    header = "Compares capacity tests of one pack or several.",
    description =
        "Of logs, and of CSV files of any tester: Ah, Wh, voltage, the drop between two currents as"
            + " resistance, heat, the life left, and with prices what a Wh costs.")
final class CompareVerb implements Callable<Integer> {

  private static final int MOST_TESTS = 28;

  @Mixin private CompareOptions options;
  @Mixin private PictureOptions picture;
  @Mixin private AnswerOutput output;

  @Parameters(
      arity = "0..*",
      paramLabel = "[NAME=]FILE",
      description = "Logs and testers' CSV files; files of one name are one pack.")
  private List<String> sources = new ArrayList<>();

  @Option(
      names = "--donor",
      paramLabel = "[NAME=]FILE",
      description = "The same of a pack that was taken apart; may be repeated.")
  private List<String> donors = new ArrayList<>();

  @Mixin private SiteOptions site;

  @Option(
      names = "--pack",
      paramLabel = "ID",
      description = "With --store: the pack that is compared, beside what is named.")
  private @Nullable String pack;

  @Option(
      names = "--html",
      paramLabel = "FILE",
      description = "Write the comparison with its curves as one HTML file.")
  private Optional<Path> html = Optional.empty();

  @Override
  public Integer call() throws StorageFailure {
    options.check();
    picture.check();
    html.ifPresent(FileCause::checkWritable);
    Optional<FetchedLog> held = site.log(pack);
    if (sources.isEmpty() && donors.isEmpty() && held.isEmpty()) {
      throw Stop.usage("compare what? name logs or CSV files of capacity tests");
    }
    ComparedSources gathered = new ComparedSources(options);
    for (String donor : donors) {
      gathered.add(donor, true);
    }
    if (held.isPresent()) {
      gathered.add(held.get());
    }
    for (String source : sources) {
      gathered.add(source, false);
    }
    List<PackComparison.Pack> packs = gathered.packs();
    options.checkNames(packs.stream().map(PackComparison.Pack::name).toList());
    PackComparison all = new PackComparison(packs, options.newPack());
    DischargeLines lines = lines(packs);
    if (output.isJson()) {
      output.json(all.facts());
    } else {
      print(all, lines);
    }
    draw(all, lines);
    return ExitCode.DONE;
  }

  private DischargeLines lines(List<PackComparison.Pack> packs) {
    List<TestedDischarge> tests = packs.stream().flatMap(p -> p.tests().stream()).toList();
    if (tests.size() > MOST_TESTS) {
      throw Stop.usage(
          Spoken.counted(tests.size(), "test")
              + " are too many to tell apart; at most "
              + MOST_TESTS);
    }
    return DischargeLines.sideBySide(tests, Double.NaN, options.zone());
  }

  private void print(PackComparison all, DischargeLines lines) {
    int at = 0;
    for (PackComparison.Pack pack : all.packs()) {
      output.line(pack.name() + (pack.isDonor() ? ", donor" : ""));
      for (TestedDischarge test : pack.tests()) {
        DischargeLines.Line line = lines.list().get(at++);
        String words = ComparisonWords.test(test, pack.drop());
        output.line("  " + line.letter() + "  " + line.conditions() + ": " + words);
      }
      ComparisonWords.pack(pack).forEach(line -> output.line("  " + line));
    }
    ComparisonWords.together(all).forEach(output::line);
  }

  private void draw(PackComparison all, DischargeLines lines) {
    if (picture.isWanted()) {
      DischargePlot.scene(lines, DischargePlot.Over.CHARGE, Plots.DISCHARGE.wide())
          .map(scene -> Headed.scene(scene, "Capacity tests compared"))
          .ifPresent(scene -> picture.write(scene, output));
    }
    if (html.isEmpty()) {
      return;
    }
    String page = ComparisonHtml.of(all, lines, ProgramVersion.made(options.zone()));
    WholeFile.write(html.get(), page.getBytes(StandardCharsets.UTF_8), output);
  }
}
