package org.cellherd.app.verb;

import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.regex.Pattern;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.SignState;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.Facts;
import org.cellherd.pack.SpokenTime;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import picocli.CommandLine.Mixin;

/** What the verbs that answer from the log have in common. */
abstract class FindingVerb implements Callable<Integer> {

  private static final Pattern CLOCK = Pattern.compile("\\b\\d\\d:\\d\\d\\b");

  /** What the whole log holds or lacks is not known from a part of it. */
  private static final String NOTHING_THEN =
      "Nothing of that time; without --from and --to the whole log is asked.";

  @Mixin private LogOptions log;
  @Mixin private SpanOptions span;
  @Mixin private AnswerOutput output;

  private final FindingName name;
  private final Told told;
  private final String nothing;

  /** How many findings of a kind are an answer. */
  enum Told {
    /** What stands: the newest says all. */
    NEWEST,
    /** What happened: each of them. */
    EACH
  }

  /**
   * A verb for one kind of finding.
   *
   * @param nothing said when the log holds none
   */
  FindingVerb(FindingName name, Told told, String nothing) {
    this.name = name;
    this.told = told;
    this.nothing = nothing;
  }

  @Override
  public Integer call() throws StorageFailure {
    begin();
    PackConfig pack = log.pack();
    SystemTime time = new SystemTime();
    OptionalLong from = span.fromMs(time, log.zone());
    OptionalLong to = span.toMs(time, log.zone());
    LogAnalysis.Answer known;
    int code;
    try (LogFile file = log.openForReadingOfPack()) {
      LogAnalysis analysis = new LogAnalysis(file, pack);
      known =
          told == Told.NEWEST
              ? analysis.newest(name, from, to)
              : analysis.answer(Set.of(name), from, to);
      beside(file, pack, known.findings());
      code = LogOptions.answered(file);
    }
    List<Finding> findings = known.findings();
    int newest = Math.max(0, findings.size() - 1);
    List<Finding> answer =
        told == Told.NEWEST ? findings.subList(newest, findings.size()) : findings;
    if (output.isJson()) {
      printJson(answer, known.sign(), from.isPresent() || to.isPresent());
      return code;
    }
    if (known.sign() == SignState.INVERTED) {
      caveat(known.sign()).ifPresent(output::line);
    }
    if (answer.isEmpty()) {
      output.line(reason(from.isPresent() || to.isPresent()));
    } else {
      List<String> lines = sentences(answer, log.zone());
      lines.forEach(output::line);
      sum(answer).ifPresent(output::line);
      if (known.sign() == SignState.UNCONFIRMED) {
        caveat(known.sign()).ifPresent(output::line);
      }
      if (lines.stream().anyMatch(line -> CLOCK.matcher(line).find())) {
        output.zone(log.zone());
      }
    }
    return code;
  }

  /** What is said of all that rests on the current: before it where it is wrong, else behind it. */
  private Optional<String> caveat(SignState sign) {
    if (name == FindingName.REST) {
      return Optional.empty();
    }
    return switch (sign) {
      case CONFIRMED -> Optional.empty();
      case UNCONFIRMED ->
          Optional.of(
              "The sign of the current is not confirmed yet: steps of the load, or a long"
                  + " charge and discharge, show it.");
      case INVERTED ->
          Optional.of(
              "The current has the wrong sign: voltages fall when it rises. Charge is taken for"
                  + " discharge until the board's description or the shunt's direction is put"
                  + " right.");
    };
  }

  /** What is said of the findings, a line each unless some say the same. */
  List<String> sentences(List<Finding> answer, ZoneId zone) {
    return answer.stream()
        .map(finding -> told == Told.EACH ? dated(finding, zone) : finding.sentence())
        .toList();
  }

  /** What happened, behind the day on which it ended. */
  static String dated(Finding finding, ZoneId zone) {
    return SpokenTime.day(finding.toMs(), zone) + "  " + finding.sentence();
  }

  /** Looks at its own options before the log is opened. */
  void begin() {}

  /** What is made of the findings beside the answer. */
  void beside(LogFile file, PackConfig pack, List<Finding> answer) throws StorageFailure {}

  Output output() {
    return output;
  }

  ZoneId zone() {
    return log.zone();
  }

  /** What all of it comes to, in a last line of its own. */
  Optional<String> sum(List<Finding> answer) {
    return Optional.empty();
  }

  private String reason(boolean isPart) {
    return isPart ? NOTHING_THEN : nothing;
  }

  /** One object for what stands, null with its reason for nothing; a list for what happened. */
  private void printJson(List<Finding> answer, SignState sign, boolean isPart) {
    List<Facts> facts = answer.stream().map(f -> signed(f.facts(), sign)).toList();
    if (told == Told.EACH) {
      output.json(facts);
    } else {
      output.json(
          facts.isEmpty()
              ? Facts.of().putUnknown(name.word()).put("reason", reason(isPart)).build()
              : facts.get(0));
    }
  }

  private Facts signed(Facts facts, SignState sign) {
    return name == FindingName.REST || facts.get("current_sign").isPresent()
        ? facts
        : Facts.of().putAll(facts).put("current_sign", sign.word()).build();
  }
}
