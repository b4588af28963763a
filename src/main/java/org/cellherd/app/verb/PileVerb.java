package org.cellherd.app.verb;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.app.Stop;
import org.cellherd.app.config.FileText;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pile.CellsFile;
import org.cellherd.pile.CellsText;
import org.cellherd.pile.RigResults;
import org.cellherd.store.LogFile;
import org.cellherd.toml.Problems;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
    name = "pile",
    mixinStandardHelpOptions = true,
    header = "Writes what the log of a test rig measured into a cells file.",
    description =
        "Takes voltages at the end of rests, capacities and resistances from the log of a rig whose"
            + " plan names one unit for each cell, cells = [[\"a1\"], [\"a2\"]]. Adds them to a"
            + " cells file as new columns; what is already in it is kept.")
final class PileVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private Output output;

  @Option(
      names = "--out",
      required = true,
      paramLabel = "FILE",
      description = "The new cells file; must not exist.")
  private Path out = Path.of("");

  @Parameters(
      arity = "0..1",
      paramLabel = "FILE",
      description = "A cells file (CSV) to start from.")
  private Optional<Path> before = Optional.empty();

  @Override
  public Integer call() throws StorageFailure {
    List<String> lines = before.map(PileVerb::read).orElse(List.of());
    PackConfig pack = log.pack();
    if (pack.plan().cells().isEmpty()) {
      throw Stop.usage(
          "the plan of "
              + pack.plan().id()
              + " names no units; tell which is in which cell: cells = [[\"a1\"], [\"a2\"], ...]");
    }
    RigResults results = RigResults.of(pack.plan(), findings(pack));
    List<String> text = CellsText.with(pack.plan(), results.units(), lines);
    checked(text);
    write(text);
    tell(results);
    return log.code();
  }

  private List<Finding> findings(PackConfig pack) throws StorageFailure {
    Set<FindingName> names = Set.of(FindingName.REST, FindingName.CAPACITY, FindingName.RESISTANCE);
    try (LogFile file = log.openForReadingOfPack()) {
      List<Finding> all = new LogAnalysis(file, pack).findings(names);
      Optional<Finding> resistance =
          all.stream()
              .filter(f -> f.name() == FindingName.RESISTANCE)
              .reduce((old, newest) -> newest);
      List<Finding> kept = new ArrayList<>(all);
      kept.removeIf(f -> f.name() == FindingName.RESISTANCE);
      resistance.ifPresent(kept::add);
      log.notice(file);
      return kept;
    }
  }

  private static List<String> read(Path file) {
    List<String> lines = FileText.read(file).lines().toList();
    Problems problems = new Problems();
    CellsFile.read(file.toString(), lines, problems);
    if (!problems.isEmpty()) {
      throw Stop.usage(problems.toString());
    }
    return lines;
  }

  /** Nobody is left with a file that triage refuses, as when the log's rests are in it already. */
  private void checked(List<String> text) {
    Problems problems = new Problems();
    CellsFile.read(out.toString(), text, problems);
    if (!problems.isEmpty()) {
      throw Stop.usage(
          "nothing was written: the log's measurements do not fit behind those of the file; are"
              + " they in it already?\n"
              + problems);
    }
  }

  private void write(List<String> text) {
    WholeFile.refuseTaken(out);
    String lines = String.join("\n", text) + "\n";
    WholeFile.write(out, lines.getBytes(StandardCharsets.UTF_8), output);
  }

  private void tell(RigResults results) {
    results
        .units()
        .forEach(
            (id, unit) ->
                output.line(
                    "%s: rest voltages %d, capacities %d, lower bounds of it %d, resistances %d"
                        .formatted(
                            id,
                            unit.rests().size(),
                            unit.capacities().stream().filter(c -> !c.isLeast()).count(),
                            unit.capacities().stream().filter(c -> c.isLeast()).count(),
                            unit.resistances().size())));
    results
        .shared()
        .forEach(
            cell ->
                output.line(
                    cell + ": measured together; a rig of one unit a cell measures each of them"));
  }
}
