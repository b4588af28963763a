package org.cellherd.analysis.ageing;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Completed;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.Fold;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/** Cycles, capacity over the years and life left. A finding is completed every 30 days. */
public final class AgeingFold implements FindingFold {
  private static final Fold.Kind KIND =
      new Fold.Kind(
          FindingName.AGEING,
          11,
          Set.of(FindingName.BALANCE, FindingName.CAPACITY, FindingName.SOC));
  private static final long EACH_MS = 30L * 86_400_000;
  private static final double LEAST_DAYS = 1;

  private final Moment moment;
  private final UsageBook book;
  private final CapacityHistory history;
  private final LeadGrowth growth;
  private final AgeingReport report;
  private final Completed completed = new Completed();
  private long givenUpMs = -1;

  public AgeingFold(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.moment = moment;
    book = new UsageBook(plan, moment);
    history = new CapacityHistory(plan.ratedAh());
    growth = new LeadGrowth(plan.ratedAh(), plan.series());
    report = new AgeingReport(plan, moment, book, history, growth);
  }

  @Override
  public Fold.Kind kind() {
    return KIND;
  }

  @Override
  public void accept(LogEntry entry) {
    book.accept(entry);
    if (!(entry instanceof Reading)) {
      return;
    }
    if (givenUpMs < 0) {
      givenUpMs = moment.readingUpMs();
    } else if (moment.readingUpMs() - givenUpMs >= EACH_MS) {
      givenUpMs = moment.readingUpMs();
      standing().ifPresent(completed::add);
    }
  }

  @Override
  public void hear(Finding finding) {
    finding.result(FullChargeResult.class).ifPresent(growth::take);
    Optional<CapacityResult> test = finding.result(CapacityResult.class);
    test.ifPresent(growth::take);
    test.filter(CapacityResult::isOfCells).ifPresent(this::hear);
  }

  /** A discharge that imbalance may have ended says how the cells are charged, not how they age. */
  private void hear(CapacityResult test) {
    Interval ah = test.ah().orElseThrow();
    boolean isFirst = history.entries().isEmpty();
    boolean isComparable = isFirst || test.sinceFirst().isPresent();
    CapacityHistory.Entry entry =
        new CapacityHistory.Entry(
            moment.upMs(), ah, test.conditions().meanTempC(), test.cRate(), isComparable);
    history.add(entry);
    if (!history.isWild(entry)) {
      book.useCapacity(ah.mid());
    }
  }

  @Override
  public List<Finding> drainCompleted() {
    return completed.drain();
  }

  @Override
  public Optional<Finding> standing() {
    return book.days() < LEAST_DAYS ? Optional.empty() : Optional.of(report.finding());
  }

  @Override
  public void end() {
    standing().ifPresent(completed::add);
  }

  @Override
  public void state(State io) {
    book.state(io);
    history.state(io);
    growth.state(io);
    givenUpMs = io.number(givenUpMs);
  }
}
