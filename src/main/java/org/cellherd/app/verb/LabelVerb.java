package org.cellherd.app.verb;

import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.cellherd.app.Stop;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.Worded;
import org.cellherd.report.Made;
import org.cellherd.report.label.LabelFacts;
import org.cellherd.report.label.PackLabel;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
    name = "label",
    mixinStandardHelpOptions = true,
    header = "Makes the label for the pack.",
    description =
        "From plan and measured capacity, as SVG, PDF or PNG by the file's ending, or as "
            + "plain text. A pack that was never tested says so.")
final class LabelVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private AnswerOutput output;

  @Option(
      names = "--size",
      paramLabel = "SIZE",
      description = "Of the label in mm: 70x37, 99x57, a7, a6; default 70x37.")
  private String size =
      Arrays.stream(PackLabel.Size.values()).map(PackLabel.Size::word).findFirst().orElse("");

  @Parameters(
      arity = "0..1",
      paramLabel = "FILE",
      description = "A file that ends in .pdf, .svg or .png; without it, plain text is printed.")
  private Optional<Path> target = Optional.empty();

  @Override
  public Integer call() throws StorageFailure {
    PackLabel.Size chosen = chosenSize();
    PackConfig pack = log.pack();
    Made made = ProgramVersion.made(log.zone());
    LabelFacts facts = LabelFacts.of(pack.plan(), AcceptedTests.withBalance(log, pack), made);
    if (output.isJson()) {
      output.json(facts.facts());
    } else if (target.isEmpty()) {
      output.line(facts.plainText());
    }
    if (target.isEmpty()) {
      return log.code();
    }
    WholeFile.write(target.get(), bytes(facts, chosen, target.get()), output);
    return log.code();
  }

  private PackLabel.Size chosenSize() {
    List<String> words = Worded.words(PackLabel.Size.values());
    return PackLabel.Size.ofWord(size.toLowerCase(Locale.ROOT))
        .orElseThrow(
            () -> Stop.usage("--size \"" + size + "\", allowed: " + String.join(", ", words)));
  }

  private static byte[] bytes(LabelFacts facts, PackLabel.Size chosen, Path file) {
    return new ByEnding()
        .bytes(".pdf", () -> PackLabel.pdf(facts, chosen))
        .text(".svg", () -> PackLabel.svg(facts, chosen))
        .bytes(".png", () -> PackLabel.png(facts, chosen))
        .of(file);
  }
}
