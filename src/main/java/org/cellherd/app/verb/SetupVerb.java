package org.cellherd.app.verb;

import java.io.BufferedReader;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import org.cellherd.analysis.plan.BoardFit;
import org.cellherd.analysis.plan.PlanCheck;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.Decoders;
import org.cellherd.app.config.FileText;
import org.cellherd.board.LinkAddress;
import org.cellherd.board.SerialLink;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.spec.Specs;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

@Command(
    name = "setup",
    mixinStandardHelpOptions = true,
    header = "Finds the board, asks for the plan, writes a config.",
    description =
        "Finds serial adapters, tries the known board descriptions on them (reading only), "
            + "asks for the plan of the pack, and writes a config with comments.")
final class SetupVerb implements Callable<Integer> {

  /** More than any board counts: of the plan's parts that are not typed yet, nothing is said. */
  private static final long ANY_MAH = 100_000_000;

  @Mixin private Output output;

  @Option(
      names = "--link",
      paramLabel = "LINK",
      description = "Try this line instead of all serial adapters; may be repeated.")
  private List<String> links = new ArrayList<>();

  @Option(
      names = "--spec",
      paramLabel = "SPEC",
      description = "Try only this description; may be repeated.")
  private List<String> specs = new ArrayList<>();

  @Option(
      names = "--address",
      paramLabel = "N",
      description = "Try this address; default 1; may be repeated.")
  private List<Integer> addresses = new ArrayList<>();

  @Option(
      names = "--out",
      paramLabel = "FILE",
      defaultValue = "cellherd.toml",
      description = "The config to write. Default: ${DEFAULT-VALUE}.")
  private Path target;

  @Override
  public Integer call() throws InterruptedException {
    if (Files.exists(target) && !isAllComments()) {
      throw Stop.usage(target + ": is there already; name another with --out FILE");
    }
    FileCause.checkWritable(target);
    output.line(Cautions.LINE);
    BoardSearch.Found found = search();
    output.line("");
    output.out().print(new ReadingText(Optional.empty()).of(found.reading(), List.of(), List.of()));
    output.line("");
    output.line(
        "Compare this with a meter before you believe it: two cells, the pack, the current's"
            + " sign.");
    BufferedReader in =
        new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
    SetupQuestions ask = new SetupQuestions(in, output.out());
    PackPlan plan = plan(ask, found.reading());
    String site =
        ask.ask(
            "Name of this site for topics, another on each computer",
            ShortId.ofThisComputer(),
            ShortId::typed);
    write(
        ConfigDraft.of(site, plan, found.candidate().spec(), found.link().text(), found.address()));
    output.line("");
    output.line("Written: " + target + ". What its audit says:");
    output.out().flush();
    String[] check = {"check", "--config", target.toString()};
    int audit =
        RootCommand.commandLine(check).setOut(output.out()).setErr(output.err()).execute(check);
    List<PlanCheck> contradictions = BoardFit.of(plan, found.reading());
    contradictions.forEach(c -> output.line("  FAIL  " + c.sentence()));
    output.line(MeterAdvice.ofNewPack(plan.ratedAh()));
    output.line("Next: cellherd run --config " + target);
    return contradictions.isEmpty() ? audit : ExitCode.NO;
  }

  /** The package's own config holds nothing yet: it may be replaced. */
  private boolean isAllComments() {
    try {
      return FileText.read(target).lines().allMatch(l -> l.isBlank() || l.startsWith("#"));
    } catch (Stop unreadable) {
      return false;
    }
  }

  private BoardSearch.Found search() throws InterruptedException {
    List<LinkAddress> lines = lines();
    if (lines.isEmpty()) {
      throw new Stop(
          ExitCode.LINK, "no serial adapter was found; plug one in, or name a line with --link");
    }
    List<BoardSearch.Candidate> candidates = candidates();
    BoardSearch search = new BoardSearch(new SystemTime(), candidates);
    List<Integer> at = addresses.isEmpty() ? List.of(1) : addresses;
    List<String> tried = new ArrayList<>();
    for (LinkAddress line : lines) {
      // Of each, two to three seconds at most: whoever waits wants to know for how long.
      String most = candidates.size() * at.size() * 5 / 2 + " s at most";
      output.line("trying " + line.text() + ", " + most + " ...");
      output.out().flush();
      BoardSearch.Result result = search.search(line, at);
      if (result.found().isPresent()) {
        BoardSearch.Found found = result.found().get();
        output.line(
            "  a board answers: "
                + found.candidate().decoder().title()
                + " ("
                + found.candidate().spec()
                + "), address "
                + found.address());
        return found;
      }
      output.line("  " + result.trouble());
      tried.add(line.text() + " (" + result.trouble() + ")");
    }
    throw new Stop(
        ExitCode.LINK,
        "no known board answered on "
            + String.join(", ", tried)
            + ". Is it awake, and are its lines the right way round? Behind a"
            + " network adapter, name it: --link tcp:HOST:PORT. At another address: --address N."
            + " For a board that nobody has described: record its talk with"
            + " \"cellherd capture\", look at it with \"cellherd frames\"");
  }

  private List<LinkAddress> lines() {
    List<LinkAddress> lines = new ArrayList<>();
    if (links.isEmpty()) {
      for (SerialLink.Port port : SerialLink.list()) {
        output.line("adapter: " + port.stable() + "  " + port.description());
        LinkAddress.parse(port.stable()).address().ifPresent(lines::add);
      }
    }
    for (String link : links) {
      LinkAddress.Parsed parsed = LinkAddress.parse(link);
      lines.add(parsed.address().orElseThrow(() -> Stop.usage("--link " + parsed.problem())));
    }
    return lines;
  }

  /** The user's own first: whoever wrote one means that board. */
  private List<BoardSearch.Candidate> candidates() {
    OwnSpecs own = new OwnSpecs(target, line -> output.err().println(line));
    List<BoardSearch.Candidate> candidates = specs.isEmpty() ? own.all() : named(own);
    if (specs.isEmpty()) {
      if (!candidates.isEmpty()) {
        List<String> names = candidates.stream().map(BoardSearch.Candidate::spec).toList();
        output.line("your own descriptions come first: " + String.join(", ", names));
      }
      Stream.concat(Specs.shipped().stream(), Specs.coded().stream())
          .map(decoder -> new BoardSearch.Candidate(decoder.id(), decoder))
          .forEach(candidates::add);
    }
    return candidates;
  }

  /** Those of {@code --spec}; the path of a file counts from here, as all paths of options. */
  private List<BoardSearch.Candidate> named(OwnSpecs own) {
    Decoders known = new Decoders(target);
    List<BoardSearch.Candidate> candidates = new ArrayList<>();
    for (String spec : specs) {
      own.addUsable(
          candidates,
          () ->
              spec.endsWith(".toml")
                  ? own.candidate(Path.of(spec))
                  : new BoardSearch.Candidate(spec, known.find(spec)));
    }
    if (candidates.isEmpty()) {
      throw Stop.usage("setup: no description that can be used, nothing was tried");
    }
    return candidates;
  }

  /** Asks for the plan, and again where an answer contradicts the board and is not meant. */
  private PackPlan plan(SetupQuestions ask, Reading reading) {
    String name = ask.ask("Name of the pack", "My pack", text -> text);
    String id = ask.ask("Short id for topics and files", ShortId.of(name, "pack"), ShortId::typed);
    int counted = reading.cells().presentCount();
    Chemistry chemistry =
        ask.askAgainst(
            "Chemistry (lfp, nmc, nca, lto, sodium-ion)",
            "",
            SetupVerb::chemistry,
            typed -> doubts("board-chemistry", builder(typed, Math.max(1, counted)), reading));
    int series =
        ask.askAgainst(
            "Cells in series",
            counted > 0 ? Integer.toString(counted) : "",
            SetupQuestions.whole(1, PackPlan.MAX_SERIES),
            typed ->
                doubts(
                    counted > 0 ? "board-cells" : "board-pack-voltage",
                    builder(chemistry, typed),
                    reading));
    int parallel = ask.ask("Cells in parallel", "1", SetupQuestions.whole(1, 1000));
    double ah =
        ask.askAgainst(
            "Rated capacity of the whole pack, Ah",
            "",
            SetupQuestions.number(0.01, 100_000),
            typed ->
                doubts(
                    "board-capacity",
                    PackPlan.builder("pack", chemistry, series, 1, Math.round(typed * 1000)),
                    reading));
    double volts =
        ask.ask(
            "Charge voltage of the whole pack, V",
            String.format(Locale.ROOT, "%.2f", series * chemistry.limits().fullMv() / 1000.0),
            SetupQuestions.number(
                series * chemistry.limits().nominalMv() / 1000.0,
                series * (chemistry.limits().cutOffHighMv() + 100) / 1000.0));
    return PackPlan.builder(id, chemistry, series, parallel, Math.round(ah * 1000))
        .name(name)
        .chargeMv((int) Math.round(volts * 1000))
        .build();
  }

  private static Chemistry chemistry(String text) {
    return Chemistry.ofWord(text)
        .orElseThrow(() -> new IllegalArgumentException("lfp, nmc, nca, lto or sodium-ion"));
  }

  /** What is typed so far; the rest is left so wide that nothing contradicts it. */
  private static PackPlan.Builder builder(Chemistry chemistry, int series) {
    return PackPlan.builder("pack", chemistry, series, 1, ANY_MAH);
  }

  /** What a board contradicts of what was asked for just now. */
  private static List<String> doubts(String checks, PackPlan.Builder typed, Reading reading) {
    return BoardFit.of(typed.build(), reading).stream()
        .filter(check -> check.name().matches(checks))
        .map(PlanCheck::sentence)
        .toList();
  }

  private void write(String text) {
    WholeFile.write(target, text);
    ConfigFiles.load(Optional.of(target));
  }
}
