package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.Callable;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.app.ExitCode;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.Facts;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import picocli.CommandLine.Mixin;

/** What the verbs that answer from the log have in common. */
abstract class FindingVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private SpanOptions span;
  @Mixin private Output output;

  private final FindingName name;
  private final String nothing;

  /**
   * A verb for one kind of finding.
   *
   * @param nothing said when the log holds none
   */
  FindingVerb(FindingName name, String nothing) {
    this.name = name;
    this.nothing = nothing;
  }

  /** The facts to print as JSON; either one object or the elements of a list. */
  abstract void printJson(List<Finding> findings, Output out);

  @Override
  public Integer call() {
    PackConfig pack = log.pack();
    SystemTime time = new SystemTime();
    OptionalLong from = span.fromMs(time, log.zone());
    OptionalLong to = span.toMs(time, log.zone());
    List<Finding> findings;
    try (LogFile file = log.openForReading()) {
      findings = new LogAnalysis(file.history(), pack).findings(Set.of(name), from, to);
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    }
    if (output.isJson()) {
      printJson(findings, output);
    } else if (findings.isEmpty()) {
      output.line(nothing);
    } else {
      findings.forEach(f -> output.line(f.sentence()));
    }
    return ExitCode.DONE;
  }

  /** Prints the newest finding as one object, or an empty one. */
  static void newest(List<Finding> findings, Output out) {
    Optional<Finding> last =
        findings.isEmpty() ? Optional.empty() : Optional.of(findings.get(findings.size() - 1));
    out.json(last.map(Finding::facts).orElse(Facts.NONE));
  }

  /** Prints each finding as an element of a list. */
  static void all(List<Finding> findings, Output out) {
    out.json(new ArrayList<>(findings.stream().map(Finding::facts).toList()));
  }
}
