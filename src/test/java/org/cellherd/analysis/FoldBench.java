package org.cellherd.analysis;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;

/** Feeds one fold by way of a {@link PackAnalysis} and keeps what it completes. */
public final class FoldBench {
  private final PackPlan plan;
  private final AnalysisSettings settings;
  private final FindingName name;
  private final List<PackAnalysis.FoldMaker> makers;
  private final List<Finding> completed = new ArrayList<>();
  private PackAnalysis analysis;

  /** A bench that looks at one kind of finding, with these folds beyond the built-in ones. */
  public FoldBench(
      PackPlan plan,
      AnalysisSettings settings,
      FindingName name,
      PackAnalysis.FoldMaker... makers) {
    this.plan = plan;
    this.settings = settings;
    this.name = name;
    this.makers = List.of(makers);
    this.analysis = new PackAnalysis(plan, settings, this.makers);
  }

  /** Feeds entries. */
  public FoldBench feed(LogEntry... entries) {
    for (LogEntry entry : entries) {
      analysis.accept(entry);
      completed.addAll(analysis.completed());
    }
    return this;
  }

  /** The findings of the bench's kind completed so far. */
  public List<Finding> completed() {
    return completed.stream().filter(f -> f.name() == name).toList();
  }

  /** The standing finding of the bench's kind, if there is one. */
  public Optional<Finding> maybeStanding() {
    return analysis.standing().stream().filter(f -> f.name() == name).findFirst();
  }

  /** The standing finding of the bench's kind. */
  public Finding standing() {
    return maybeStanding().orElseThrow();
  }

  /** The whole analysis. */
  public PackAnalysis analysis() {
    return analysis;
  }

  /** The state. */
  public SavedState state() {
    return SavedState.of(analysis::state);
  }

  /** Asserts that a state saved after so many entries and the rest give the state of this bench. */
  public void assertSameFromSnapshot(List<LogEntry> log, int cut) {
    FoldBench first =
        new FoldBench(plan, settings, name, makers.toArray(new PackAnalysis.FoldMaker[0]));
    log.subList(0, cut).forEach(first::feed);
    FoldBench second =
        new FoldBench(plan, settings, name, makers.toArray(new PackAnalysis.FoldMaker[0]));
    first.state().into(second.analysis::state);
    second.completed.addAll(first.completed);
    log.subList(cut, log.size()).forEach(second::feed);

    assertThat(second.completed).isEqualTo(completed);
    assertThat(second.analysis.standing()).isEqualTo(analysis.standing());
    assertThat(second.state()).isEqualTo(state());
  }

  /** The same log with each gap told in three pieces, as a daemon does while a silence lasts. */
  public static List<LogEntry> splitGaps(List<LogEntry> log) {
    List<LogEntry> pieces = new ArrayList<>();
    for (LogEntry entry : log) {
      if (entry instanceof Gap gap) {
        long third = (gap.toMs() - gap.fromMs()) / 3;
        pieces.add(new Gap(gap.fromMs(), gap.fromMs() + third, gap.cause()));
        pieces.add(new Gap(gap.fromMs(), gap.fromMs() + 2 * third, gap.cause()));
      }
      pieces.add(entry);
    }
    return pieces;
  }
}
