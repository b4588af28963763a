package org.cellherd.app.verb;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.pile.Matching;
import org.cellherd.pile.Pool;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

@Command(
    name = "match",
    mixinStandardHelpOptions = true,
    header = "Arranges units of a pile into groups of equal strength.",
    description =
        "Parallels units so that the pack's weakest group is as strong as can be, says how near "
            + "that comes to a proven bound, and writes the plan. Uses what triage lets through.")
final class MatchVerb implements Callable<Integer> {

  @Mixin private CellsOption cells;
  @Mixin private AnswerOutput output;

  @Option(names = "--series", required = true, paramLabel = "S", description = "Groups in series.")
  private int series;

  @Option(
      names = "--parallel",
      required = true,
      paramLabel = "P",
      description = "Units in each group.")
  private int parallel;

  @Option(
      names = "--together",
      paramLabel = "ID,ID",
      description = "Units that must share a group; may be repeated.")
  private List<String> together = new ArrayList<>();

  @Option(
      names = "--apart",
      paramLabel = "ID,ID",
      description = "Units that must not share a group; may be repeated.")
  private List<String> apart = new ArrayList<>();

  @Option(names = "--one-donor", description = "Do not mix donors within a group.")
  private boolean oneDonor;

  @Option(
      names = "--doubtful",
      description = "Use units that should be measured again, too, if they have a capacity.")
  private boolean doubtful;

  @Option(
      names = "--load-a",
      paramLabel = "A",
      description = "Load of the pack: shows how the units of a group share it.")
  private Optional<Double> loadA = Optional.empty();

  @Option(
      names = "--bleed-ma",
      paramLabel = "MA",
      description = "Bleed current of the board: shows how long the first balance may take.")
  private Optional<Double> bleedMa = Optional.empty();

  @Option(
      names = "--plan-out",
      paramLabel = "FILE",
      description = "Writes the [[pack]] plan; the file must not exist.")
  private Optional<Path> planOut = Optional.empty();

  @Option(
      names = "--picture",
      paramLabel = "FILE",
      description = "Draws which unit goes where; a file that ends in .svg or .png.")
  private Optional<Path> picture = Optional.empty();

  @Override
  public Integer call() {
    Matching.Rules rules = rules();
    Pool pool = Pool.of(cells.triage().units(), rules, doubtful);
    if (!pool.problems().isEmpty()) {
      throw Stop.usage(
          cells.names() + ": " + String.join("\n" + cells.names() + ": ", pool.problems()));
    }
    Matching found =
        Matching.of(pool.candidates(cells.capacityPct()), rules)
            .orElseThrow(
                () ->
                    new Stop(
                        ExitCode.NO,
                        cells.names()
                            + ": no arrangement was found that meets all wishes; drop one of --together, --apart, --one-donor"));
    MatchReport report = new MatchReport(found, pool, number(loadA), number(bleedMa));
    if (output.isJson()) {
      output.json(report.facts());
    } else {
      report.lines().forEach(output::line);
    }
    planOut.ifPresent(file -> write(file, report));
    picture.ifPresent(file -> draw(file, report));
    return ExitCode.DONE;
  }

  private static OptionalDouble number(Optional<Double> value) {
    return value.map(OptionalDouble::of).orElse(OptionalDouble.empty());
  }

  private Matching.Rules rules() {
    if (series < 1 || parallel < 1 || (long) series * parallel > 10_000) {
      throw Stop.usage(
          "%sS%sP: --series and --parallel from 1, at most 10000 units in all"
              .formatted(series, parallel));
    }
    return new Matching.Rules(series, parallel, sets(together), sets(apart), oneDonor);
  }

  private static List<Set<String>> sets(List<String> lists) {
    List<Set<String>> sets = new ArrayList<>();
    for (String list : lists) {
      sets.add(new HashSet<>(Arrays.asList(list.split("[, ]+"))));
    }
    return sets;
  }

  private void draw(Path file, MatchReport report) {
    WholeFile.write(file, report.picture(file), output);
  }

  private void write(Path file, MatchReport report) {
    WholeFile.refuseTaken(file);
    WholeFile.write(file, report.plan(cells.names()).getBytes(StandardCharsets.UTF_8), output);
  }
}
