package org.cellherd.app.logged;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.LogEntry;

/**
 * What an analysis finds as a log is read again: what is completed, and what stood at the end of
 * each day where reports ask for it.
 */
public final class FoundAgain {

  /** What a report of an earlier time asks for: nothing else is worked out for a day's end. */
  private static final List<FindingName> KEPT =
      List.of(FindingName.BALANCE, FindingName.SOC, FindingName.RESISTANCE);

  private static final long DAY_MS = Duration.ofDays(1).toMillis();

  private final PackAnalysis analysis;
  private final List<Finding> past = new ArrayList<>();
  private long day = Long.MIN_VALUE;

  /** Of an analysis that has not taken the first entry yet. */
  public FoundAgain(PackAnalysis analysis) {
    this.analysis = analysis;
  }

  /** To be called before the analysis takes an entry. */
  public void before(LogEntry entry) {
    long now = Math.floorDiv(entry.timeMs(), DAY_MS);
    if (now > day && day > Long.MIN_VALUE) {
      KEPT.stream()
          .filter(analysis::completes)
          .forEach(name -> analysis.standing(name).ifPresent(past::add));
    }
    day = Math.max(day, now);
  }

  /** To be called after the analysis took an entry. */
  public void after() {
    past.addAll(analysis.completed());
  }

  /** Kinds of findings that are looked for. */
  public List<FindingName> names() {
    return Stream.of(FindingName.values()).filter(analysis::completes).toList();
  }

  /** What was completed, and what stood at the end of days that are over. */
  public List<Finding> past() {
    return List.copyOf(past);
  }

  /** The same, and what stands. */
  public List<Finding> all() {
    List<Finding> all = new ArrayList<>(past);
    analysis.standing().stream().filter(f -> analysis.completes(f.name())).forEach(all::add);
    return all;
  }
}
