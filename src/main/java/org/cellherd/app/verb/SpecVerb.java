package org.cellherd.app.verb;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.Decoders;
import org.cellherd.app.config.FileText;
import org.cellherd.board.BoardOnLine;
import org.cellherd.board.CaptureReplay;
import org.cellherd.pack.Facts;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.spec.SpecDecoder;
import org.cellherd.protocol.spec.SpecDrawing;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.protocol.spec.VectorRun;
import org.cellherd.report.TextTable;
import org.cellherd.toml.Problems;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
    name = "spec",
    mixinStandardHelpOptions = true,
    subcommands = {SpecVerb.Test.class, SpecVerb.Show.class, SpecVerb.Names.class},
    description = "Board descriptions: test one, draw its messages, list those that are known.")
final class SpecVerb implements Runnable {

  @Spec private CommandSpec spec;

  @Override
  public void run() {
    throw new ParameterException(spec.commandLine(), "Which: spec test, spec show or spec list?");
  }

  private static SpecDecoder described(String name) {
    Decoder decoder = new Decoders(Path.of("cellherd.toml")).find(name);
    if (decoder instanceof SpecDecoder described) {
      return described;
    }
    throw Stop.usage(name + " is written as code, it has no description file");
  }

  @Command(
      name = "list",
      mixinStandardHelpOptions = true,
      description = "Lists the descriptions that come with the program, then your own.")
  static final class Names implements Callable<Integer> {
    @Mixin private AnswerOutput output;

    @Override
    public Integer call() {
      Map<String, String> titles = new LinkedHashMap<>();
      Specs.ids().forEach(id -> titles.put(id, Specs.find(id).map(Decoder::title).orElse("")));
      Path config = ConfigFiles.find().orElse(Path.of("cellherd.toml"));
      new OwnSpecs(config, line -> output.err().println(line))
          .all()
          .forEach(own -> titles.put(own.spec(), own.decoder().title()));
      if (output.isJson()) {
        output.json(titles.entrySet().stream().map(Names::facts).toList());
      } else {
        TextTable table = new TextTable(0);
        titles.forEach(table::row);
        table.lines().forEach(output::line);
      }
      return ExitCode.DONE;
    }

    private static Facts facts(Map.Entry<String, String> titled) {
      return Facts.of().put("spec", titled.getKey()).put("title", titled.getValue()).build();
    }
  }

  @Command(
      name = "show",
      mixinStandardHelpOptions = true,
      description = "Draws every message of a description byte by byte.")
  static final class Show implements Callable<Integer> {
    @Mixin private AnswerOutput output;

    @Parameters(paramLabel = "SPEC", description = "Its id or file.")
    private String name;

    @Override
    public Integer call() {
      SpecDecoder decoder = described(name);
      if (output.isJson()) {
        output.json(SpecDrawing.facts(decoder.spec()));
      } else {
        output.line(SpecDrawing.of(decoder.spec()));
      }
      return ExitCode.DONE;
    }
  }

  @Command(
      name = "test",
      mixinStandardHelpOptions = true,
      header = "Runs a description's vectors, decodes a capture with it.",
      description =
          "The vectors are beside it in NAME.vectors.toml. With a capture: what was refused "
              + "and why, and which values are hard to believe.")
  static final class Test implements Callable<Integer> {
    @Mixin private AnswerOutput output;

    @Parameters(index = "0", paramLabel = "SPEC", description = "Its id or file.")
    private String name;

    @Parameters(
        index = "1",
        arity = "0..1",
        paramLabel = "CAPTURE",
        description = "A capture of the board.")
    private Optional<Path> capture = Optional.empty();

    @Option(
        names = "--address",
        paramLabel = "N",
        defaultValue = "1",
        description = "Address in the capture.")
    private int address;

    @Option(
        names = "--link",
        paramLabel = "LINK",
        description = "Which line of the capture (default: its only one).")
    private @Nullable String link;

    @Override
    public Integer call() {
      SpecDecoder decoder = described(name);
      Facts.Builder answer = Facts.of();
      boolean good = vectors(decoder, answer);
      if (capture.isPresent()) {
        good &= decode(decoder, capture.get(), answer);
      }
      if (output.isJson()) {
        output.json(answer.build());
      }
      return good ? ExitCode.DONE : ExitCode.NO;
    }

    private void say(String line) {
      if (!output.isJson()) {
        output.line(line);
      }
    }

    private boolean vectors(SpecDecoder decoder, Facts.Builder answer) {
      String file =
          name.endsWith(".toml")
              ? name.replaceAll("\\.toml$", ".vectors.toml")
              : name + ".vectors.toml";
      Optional<String> text =
          name.endsWith(".toml")
              ? Optional.of(Path.of(file)).filter(Files::exists).map(FileText::read)
              : Specs.shippedText(file);
      if (text.isEmpty()) {
        say("no vectors: " + file + " is not there");
        answer.putUnknown("vectors").put("reason", file + " is not there");
        return capture.isPresent();
      }
      Problems problems = new Problems();
      List<VectorRun.Outcome> outcomes = VectorRun.run(decoder, file, text.get(), problems);
      if (!problems.isEmpty()) {
        throw Stop.usage(problems.toString());
      }
      List<String> gaps = VectorRun.gaps(decoder, file, text.get());
      answer.put("vectors", outcomes.stream().map(Test::facts).toList()).put("missing", gaps);
      for (VectorRun.Outcome outcome : outcomes) {
        say(
            (outcome.passed() ? "ok      " : "FAILED  ")
                + outcome.vector()
                + (outcome.passed()
                    ? ""
                    : " (" + file + ":" + outcome.line() + "): " + outcome.detail()));
      }
      gaps.forEach(gap -> say("missing " + gap));
      return outcomes.stream().allMatch(VectorRun.Outcome::passed);
    }

    private static Facts facts(VectorRun.Outcome outcome) {
      return Facts.of()
          .put("vector", outcome.vector())
          .put("passed", outcome.passed())
          .put("detail", outcome.detail())
          .build();
    }

    private boolean decode(SpecDecoder decoder, Path file, Facts.Builder answer) {
      Dialogue dialogue = decoder.dialogue(address);
      CaptureJudge judge = new CaptureJudge();
      CaptureReplay replay =
          new CaptureReplay(List.of(BoardOnLine.alone(dialogue, decoder.line())), judge);
      new CaptureFile(file)
          .readOne(
              link,
              (chunk, line) -> {
                replay.take(chunk);
                judge.look(dialogue, line);
                return true;
              });
      replay.end();
      List<String> lines = judge.lines(dialogue.counts());
      if (dialogue.counts().framesTaken() == 0) {
        lines.add(
            "no frame of address "
                + address
                + ": if the board has another, say it with --address; else compare the frame in"
                + " spec show with the capture");
      }
      answer.put("capture", lines);
      lines.forEach(this::say);
      return judge.isGood();
    }
  }
}
