package org.cellherd.app.verb;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.Callable;
import org.cellherd.alert.rule.Rules;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.fleet.Centre;
import org.cellherd.fleet.CentreTrouble;
import org.cellherd.fleet.FleetPack;
import org.cellherd.fleet.FleetQuestion;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.pack.Worded;
import org.cellherd.report.FleetHtml;
import picocli.CommandLine.Command;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.TypeConversionException;

@Command(
    name = "fleet",
    mixinStandardHelpOptions = true,
    header = "All packs of all sites, those that need somebody first.",
    description = "Answers from what \"cellherd gather\" has gathered in a PostgreSQL.")
final class FleetVerb implements Callable<Integer> {

  private static final System.Logger LOG = System.getLogger("org.cellherd.fleet");

  private static final long FOLLOW_NANOS = 1_000_000_000L;

  /** What was committed late may bear an earlier time. */
  private static final long LATE_MS = 30_000;

  /** More than stand at once among 100,000 packs. */
  private static final int MOST_KNOWN = 100_000;

  private static final double DAY_MS = 24 * 3_600_000.0;

  @Mixin private CentreOptions centre;
  @Mixin private AnswerOutput output;

  @Option(names = "--site", paramLabel = "NAME", description = "Only packs of this site.")
  private Optional<String> site = Optional.empty();

  @Option(
      names = "--chemistry",
      paramLabel = "WORD",
      converter = ChemistryWord.class,
      description = "Only packs of this chemistry, such as lfp.")
  private Optional<String> chemistry = Optional.empty();

  @Option(
      names = "--rule",
      paramLabel = "ID",
      description = "Only packs with an alert of this rule, such as leak.")
  private Optional<String> rule = Optional.empty();

  @Option(
      names = "--most",
      paramLabel = "N",
      defaultValue = "50",
      description = "How many packs at most (default: ${DEFAULT-VALUE}).")
  private int most;

  @Option(names = "--html", paramLabel = "FILE", description = "Write them as one HTML file.")
  private Optional<Path> html = Optional.empty();

  @Option(
      names = "--follow",
      description = "Keep running and print the alerts of all sites as they come, a line each.")
  private boolean follow;

  @Override
  public Integer call() throws InterruptedException, CentreTrouble {
    html.ifPresent(FileCause::checkWritable);
    if (most < 1) {
      throw Stop.usage("--most " + most + ": at least 1");
    }
    rule.ifPresent(FleetVerb::checkRule);
    FleetQuestion question = new FleetQuestion(site, chemistry, rule, most);
    SystemTime time = new SystemTime();
    try (Centre open = centre.open()) {
      if (follow) {
        follow(open, question, time);
      }
      List<FleetPack> packs = question.ask(open);
      if (output.isJson()) {
        output.json(packs.stream().map(p -> p.facts(time.wallMs())).toList());
      } else {
        print(packs, question.count(open, packs), time.wallMs());
      }
      write(packs, time.wallMs());
      return ExitCode.DONE;
    }
  }

  private static void checkRule(String word) {
    if (Rules.find(word).isEmpty()) {
      throw AlertFilter.wrong("--rule", word, Rules.words());
    }
  }

  private void print(List<FleetPack> packs, long all, long nowMs) {
    if (packs.isEmpty()) {
      boolean isOfSome = site.isPresent() || chemistry.isPresent() || rule.isPresent();
      output.line("The centre knows no " + (isOfSome ? "such pack." : "pack yet."));
    }
    for (FleetPack pack : packs) {
      String worst = pack.worst().isEmpty() ? "no alert" : pack.worst();
      output.line(String.join("  ", worst, pack.site() + "/" + pack.id(), pack.name()));
      output.line("    " + pack.reason(nowMs));
      List<String> more = new ArrayList<>();
      more.add("since " + shown(pack.sinceMs()));
      more.add("heard " + shown(pack.heardMs()) + full(pack.daysSinceFull()));
      add(more, pack.ratedPct(), 0, " % of the rated capacity");
      add(more, pack.trend(), 1, " % of it a year");
      add(more, pack.leadGrowth(), 2, " Ah of lead a day at most");
      if (!pack.leaking().isEmpty()) {
        more.add("leaking: cell " + String.join(", ", texts(pack.leaking())));
      }
      output.line("    " + String.join("; ", more));
    }
    if (!packs.isEmpty()) {
      output.zone(ZoneId.systemDefault());
    }
    if (all > packs.size()) {
      output.line("and " + (all - packs.size()) + " more; --most " + all + " lists all");
    }
  }

  /** As known when it was heard last, to a tenth of a day. */
  private static String full(OptionalDouble days) {
    if (days.isEmpty()) {
      return "";
    }
    double ago = days.getAsDouble();
    return ago < 0.05
        ? ", full then"
        : ", full " + Spoken.duration((long) (ago * DAY_MS)) + " before";
  }

  private static void add(List<String> more, OptionalDouble value, int digits, String words) {
    if (value.isPresent()) {
      more.add(Spoken.number(value.getAsDouble(), digits) + words);
    }
  }

  private static List<String> texts(List<Long> numbers) {
    return numbers.stream().map(String::valueOf).toList();
  }

  private static String shown(OptionalLong ms) {
    return ms.isPresent() ? SpokenTime.second(ms.getAsLong(), ZoneId.systemDefault()) : "unknown";
  }

  private void write(List<FleetPack> packs, long nowMs) {
    if (html.isEmpty()) {
      return;
    }
    long needing = packs.stream().filter(p -> !p.worst().isEmpty()).count();
    String verdict =
        "Active alert: " + needing + " of " + Spoken.counted(packs.size(), "pack") + " shown.";
    String footer =
        SpokenTime.second(nowMs, ZoneId.systemDefault()) + ", cellherd " + ProgramVersion.text();
    List<String> columns = List.of("Rated, %", "A year, %", "Lead, Ah a day", "Days since full");
    String page =
        FleetHtml.of(verdict, columns, packs.stream().map(p -> row(p, nowMs)).toList(), footer);
    WholeFile.write(html.get(), page.getBytes(StandardCharsets.UTF_8), output);
  }

  private static FleetHtml.Row row(FleetPack pack, long nowMs) {
    return new FleetHtml.Row(
        pack.site() + ": " + pack.name(),
        pack.worst(),
        pack.reason(nowMs),
        List.of(shown(pack.sinceMs()), shown(pack.heardMs())),
        List.of(
            figure(pack.ratedPct(), 0),
            figure(pack.trend(), 1),
            figure(pack.leadGrowth(), 2),
            figure(pack.daysSinceFull(), 0)),
        pack.days().stream().map(FleetPack.DayOfCells::low).toList(),
        pack.days().stream().map(FleetPack.DayOfCells::high).toList());
  }

  private static String figure(OptionalDouble value, int digits) {
    return value.isPresent() ? Spoken.number(value.getAsDouble(), digits) : "";
  }

  /**
   * Prints what comes until it is interrupted; a centre that goes away meanwhile is said once and
   * asked again.
   */
  private void follow(Centre first, FleetQuestion question, SystemTime time)
      throws CentreTrouble, InterruptedException {
    Followed followed = new Followed(question, question.nowMs(first), question.standing(first));
    LOG.log(System.Logger.Level.INFO, "following the alerts at centre " + centre.address());
    followed.printNew(first);
    boolean isAway = false;
    while (!Thread.currentThread().isInterrupted()) {
      try (Centre open = Centre.openForReading(centre.address())) {
        while (!Thread.currentThread().isInterrupted()) {
          followed.printNew(open);
          isAway = false;
          time.sleepNanos(FOLLOW_NANOS);
        }
      } catch (CentreTrouble trouble) {
        if (!isAway) {
          LOG.log(
              System.Logger.Level.WARNING,
              trouble.getMessage() + "; what comes meanwhile is printed when it is back");
        }
        isAway = true;
        time.sleepNanos(FOLLOW_NANOS);
      }
    }
  }

  /** What is known already, so that nothing is printed twice. */
  private final class Followed {
    private final FleetQuestion question;
    private final Set<String> known = new LinkedHashSet<>();
    private long from;

    /** From a time of the server's clock on; what stood then is no news. */
    Followed(FleetQuestion question, long from, Set<String> standing) {
      this.question = question;
      this.from = from;
      known.addAll(standing);
    }

    void printNew(Centre open) throws CentreTrouble {
      for (FleetQuestion.News news : question.alertsSince(open, from)) {
        // What comes again and again stays known longest.
        boolean isNew = !known.remove(news.key());
        known.add(news.key());
        if (isNew) {
          if (output.isJson()) {
            output.jsonLine(news.facts());
          } else {
            output.line(told(news.facts()));
          }
        }
        from = Math.max(from, news.atMs() - LATE_MS);
      }
      while (known.size() > MOST_KNOWN) {
        known.remove(known.iterator().next());
      }
      output.out().flush();
    }
  }

  private static String told(Facts news) {
    return String.join(
        "  ",
        news.text("priority").orElse(""),
        news.text("state").orElse(""),
        news.text("site").orElse("") + "/" + news.text("pack").orElse(""),
        news.text("text").orElse(""));
  }

  static final class ChemistryWord implements ITypeConverter<String> {
    @Override
    public String convert(String word) {
      List<String> words = Worded.words(Chemistry.values());
      if (!words.contains(word)) {
        throw new TypeConversionException(
            "\"" + word + "\" is none, allowed: " + String.join(", ", words));
      }
      return word;
    }
  }
}
