package org.cellherd.app.verb;

import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.Callable;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.Facts;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import picocli.CommandLine.Mixin;

/** What the verbs that answer from the log have in common. */
abstract class FindingVerb implements Callable<Integer> {

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
  public Integer call() {
    PackConfig pack = log.pack();
    SystemTime time = new SystemTime();
    OptionalLong from = span.fromMs(time, log.zone());
    OptionalLong to = span.toMs(time, log.zone());
    List<Finding> findings;
    int code;
    try (LogFile file = log.openForReading()) {
      findings = new LogAnalysis(file, pack).findings(Set.of(name), from, to);
      code = LogOptions.answered(file);
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    }
    int newest = Math.max(0, findings.size() - 1);
    List<Finding> answer =
        told == Told.NEWEST ? findings.subList(newest, findings.size()) : findings;
    if (output.isJson()) {
      printJson(answer, from.isPresent() || to.isPresent());
    } else if (answer.isEmpty()) {
      output.line(reason(from.isPresent() || to.isPresent()));
    } else {
      answer.forEach(f -> output.line(f.sentence()));
      sum(answer).ifPresent(output::line);
    }
    return code;
  }

  /** What all of it comes to, in a last line of its own. */
  Optional<String> sum(List<Finding> answer) {
    return Optional.empty();
  }

  private String reason(boolean isPart) {
    return isPart ? NOTHING_THEN : nothing;
  }

  /** One object for what stands, null with its reason for nothing; a list for what happened. */
  private void printJson(List<Finding> answer, boolean isPart) {
    List<Facts> facts = answer.stream().map(Finding::facts).toList();
    if (told == Told.EACH) {
      output.json(facts);
    } else {
      output.json(
          facts.isEmpty()
              ? Facts.of().putUnknown(name.word()).put("reason", reason(isPart)).build()
              : facts.get(0));
    }
  }
}
