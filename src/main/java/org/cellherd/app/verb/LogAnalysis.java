package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.SignState;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.analysis.fold.History;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.FoundAgain;
import org.cellherd.app.logged.Metered;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;

/**
 * Findings of a stored log: from the newest saved state and what came after it. Days, tests and
 * rests are each whole by themselves: those that touch a stretch are picked. Everything else is
 * told as it stood at the end of the stretch, known from the whole log before; what can be told of
 * the stretch alone, as resistance of the load's steps in it, is, so that two stretches can be
 * compared.
 */
final class LogAnalysis {

  private static final Set<FindingName> WHOLE_BY_THEMSELVES =
      Set.of(FindingName.ENERGY, FindingName.CAPACITY, FindingName.REST);

  /** A shorter log is read again before anybody wonders. */
  private static final long LONG_MS = TimeUnit.DAYS.toMillis(7);

  private final History history;
  private final PackConfig pack;
  private final OptionalLong oldestMs;

  /** Of a pack's log, with what the owner's meter has shown of its board. */
  LogAnalysis(LogFile file, PackConfig pack) throws StorageFailure {
    this(file.history(), Metered.of(file, pack), file.oldestMs(pack.plan().id()));
  }

  LogAnalysis(History history, PackConfig pack) {
    this(history, pack, OptionalLong.empty());
  }

  private LogAnalysis(History history, PackConfig pack, OptionalLong oldestMs) {
    this.history = history;
    this.pack = pack;
    this.oldestMs = oldestMs;
  }

  /**
   * What a log says.
   *
   * @param findings oldest first, those that still stand last
   * @param overTime the same, and as what stood was before it came to that
   * @param sign whether the current, on which most of them rest, has the right sign
   */
  record Answer(List<Finding> findings, List<Finding> overTime, SignState sign) {}

  /** Findings of some kinds over the whole log, oldest first, those that still stand last. */
  List<Finding> findings(Set<FindingName> names) throws StorageFailure {
    return answer(names, OptionalLong.empty(), OptionalLong.empty()).findings();
  }

  Answer answer(Set<FindingName> names, OptionalLong fromMs, OptionalLong toMs)
      throws StorageFailure {
    return answer(names, fromMs, toMs, false);
  }

  /** The same of one kind, of which the newest says all: others may be left out. */
  Answer newest(FindingName name, OptionalLong fromMs, OptionalLong toMs) throws StorageFailure {
    return answer(Set.of(name), fromMs, toMs, true);
  }

  private Answer answer(
      Set<FindingName> names, OptionalLong fromMs, OptionalLong toMs, boolean isNewestEnough)
      throws StorageFailure {
    boolean isPicked = WHOLE_BY_THEMSELVES.containsAll(names);
    Answer whole = folded(names, fromMs, isPicked ? OptionalLong.empty() : toMs, isNewestEnough);
    return new Answer(
        within(whole.findings(), fromMs, toMs),
        within(whole.overTime(), fromMs, toMs),
        whole.sign());
  }

  private static List<Finding> within(List<Finding> found, OptionalLong fromMs, OptionalLong toMs) {
    return found.stream()
        .filter(f -> f.toMs() > fromMs.orElse(Long.MIN_VALUE))
        .filter(f -> f.fromMs() < toMs.orElse(Long.MAX_VALUE))
        .toList();
  }

  private Answer folded(
      Set<FindingName> names, OptionalLong fromMs, OptionalLong toMs, boolean isNewestEnough)
      throws StorageFailure {
    String id = pack.plan().id();
    PackAnalysis analysis = unfed(names);
    long endMs = toMs.orElse(Long.MAX_VALUE);
    Optional<History.Snapshot> snapshot = history.snapshot(id, "analysis", endMs);
    boolean isFit = snapshot.isPresent() && restore(analysis, snapshot.get());
    if (!isFit) {
      analysis = unfed(names);
      snapshot.ifPresent(this::tell);
    }
    PackAnalysis fold = analysis;
    FoundAgain read = new FoundAgain(fold);
    long begin = isFit ? snapshot.get().atMs() : Long.MIN_VALUE;
    // Of a log that is read again, what was found in readings that are gone is all that stays.
    long[] storedMs = {isFit ? begin : endMs};
    history.replay(
        id,
        begin,
        endMs,
        entry -> {
          read.before(entry);
          fold.accept(entry);
          read.after();
          if (!isFit && entry instanceof Reading) {
            storedMs[0] = Math.min(storedMs[0], entry.timeMs());
          }
        });
    List<Finding> folded = new ArrayList<>(read.past());
    folded.addAll(fromMs.isPresent() ? fold.standingSince(fromMs.getAsLong()) : fold.standing());
    folded.removeIf(f -> !names.contains(f.name()));
    folded.replaceAll(LogAnalysis::asStored);
    List<Finding> found = new ArrayList<>();
    if (folded.isEmpty() || !isNewestEnough) {
      for (FindingName name : names) {
        found.addAll(history.findings(id, name, Long.MIN_VALUE, storedMs[0]));
      }
    }
    found.addAll(folded);
    found.sort(Comparator.comparingLong(Finding::toMs));
    return new Answer(
        newest(found, f -> List.of(f.name(), f.fromMs())),
        newest(found, f -> List.of(f.name(), f.fromMs(), f.toMs())),
        fold.currentSign());
  }

  /** Who waits for minutes is told why, and what would end it: a verb that asks does not write. */
  private void tell(History.Snapshot unfit) {
    if (oldestMs.isPresent() && unfit.atMs() - oldestMs.getAsLong() > LONG_MS) {
      System.err.println(
          "The results saved in the log are of another version or plan: reading the whole log"
              + " again. After months of log that takes minutes. \"cellherd run\" does so once and"
              + " saves new results.");
    }
  }

  /** Feeds no more folds than the question takes. */
  private PackAnalysis unfed(Set<FindingName> names) {
    return new PackAnalysis(pack.plan(), pack.analysis()).only(names);
  }

  /**
   * What was folded just now has all digits, what was stored those that are told: else an answer
   * would depend on which saved states a log happens to have.
   */
  private static Finding asStored(Finding finding) {
    return ResultForm.finding(
        finding.name(), finding.fromMs(), finding.toMs(), finding.facts(), finding.sentence());
  }

  /** What stood at an earlier saved state was stored too; only the newest of it is true. */
  private static List<Finding> newest(List<Finding> oldestFirst, Function<Finding, Object> same) {
    Map<Object, Finding> newest = new LinkedHashMap<>();
    for (Finding finding : oldestFirst) {
      Object key = same.apply(finding);
      newest.remove(key);
      newest.put(key, finding);
    }
    return new ArrayList<>(newest.values());
  }

  private static boolean restore(PackAnalysis analysis, History.Snapshot snapshot) {
    try {
      snapshot.state().into(analysis::state);
      return analysis.lacking().isEmpty();
    } catch (StateMismatch otherPlan) {
      return false;
    }
  }
}
