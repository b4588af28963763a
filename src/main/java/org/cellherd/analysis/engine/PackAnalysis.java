package org.cellherd.analysis.engine;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Bounce;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.SignState;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.Fold;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Everything that is known of one pack, as a fold over its log. At each dated change of the plan
 * all of it ends and begins anew. Belongs to one thread.
 */
public final class PackAnalysis implements Fold, PackView {
  private static final String SECTION = "pack-analysis";
  private static final int VERSION = 7;

  private static final PackPlan.FuseRating NO_FUSE =
      new PackPlan.FuseRating(1, OptionalInt.empty(), OptionalInt.empty());
  private static final PackPlan.Wire NO_WIRE =
      new PackPlan.Wire(OptionalInt.empty(), OptionalInt.empty(), OptionalInt.empty());

  private final PackPlan plan;
  private final AnalysisSettings settings;
  private final List<FoldMaker> makers;
  private final List<Finding> completed = new ArrayList<>();
  private final Set<FindingName> wanted;
  private final Set<FindingName> fed;
  private Set<FindingName> lacking = Set.of();
  private int epoch;
  private PackFolds folds;

  /** Begins with an empty log and the standard folds. */
  public PackAnalysis(PackPlan plan, AnalysisSettings settings) {
    this(plan, settings, StandardFolds.LIST);
  }

  /** Begins with an empty log and these folds beyond charge, balance and plausibility. */
  public PackAnalysis(PackPlan plan, AnalysisSettings settings, List<FoldMaker> makers) {
    this(plan, settings, makers, Set.of(), Set.of());
  }

  private PackAnalysis(
      PackPlan plan,
      AnalysisSettings settings,
      List<FoldMaker> makers,
      Set<FindingName> wanted,
      Set<FindingName> fed) {
    this.plan = plan;
    this.settings = settings;
    this.makers = List.copyOf(makers);
    this.wanted = Set.copyOf(wanted);
    this.fed = Set.copyOf(fed);
    this.folds = empty();
  }

  private PackFolds empty() {
    return new PackFolds(plan, settings, makers, fed);
  }

  /**
   * An analysis of the same pack that has seen nothing, for some findings alone: only the folds
   * that they rest on are fed, and what tells {@link #currentSign}. It knows no slopes of cells.
   */
  public PackAnalysis only(Set<FindingName> findings) {
    return new PackAnalysis(plan, settings, makers, findings, Needs.told(findings));
  }

  /**
   * An analysis of the same pack that has seen nothing, to bring up folds from which {@link #take}
   * will be asked: what they would tell of others is left out.
   */
  public PackAnalysis toTake(Set<FindingName> findings) {
    return new PackAnalysis(plan, settings, makers, findings, findings);
  }

  @Override
  public void accept(LogEntry entry) {
    completed.clear();
    int now = epochAt(entry.timeMs());
    if (now > epoch) {
      epoch = now;
      folds.end(completed);
      folds = empty();
    }
    folds.accept(entry, completed);
  }

  private int epochAt(long timeMs) {
    int passed = 0;
    for (PackPlan.Change change : plan.history()) {
      if (change.atMs() <= timeMs) {
        passed++;
      }
    }
    return passed;
  }

  @Override
  public PackPlan plan() {
    return plan;
  }

  @Override
  public long timeMs() {
    return folds.moment.wallMs(folds.moment.upMs());
  }

  @Override
  public Optional<Reading> reading() {
    return folds.moment.reading();
  }

  @Override
  public boolean isFresh() {
    return folds.moment.isFresh();
  }

  @Override
  public Phase phase() {
    return folds.moment.phase();
  }

  @Override
  public OptionalInt flowingMa() {
    int flowing = folds.moment.flowingMa();
    return flowing == Moment.MISSING ? OptionalInt.empty() : OptionalInt.of(flowing);
  }

  @Override
  public int deadZoneMa() {
    return folds.moment.deadZoneMa();
  }

  @Override
  public BalanceView balance() {
    return folds.balanceView();
  }

  @Override
  public BalanceView.State balanceState() {
    return folds.balance.verdict();
  }

  @Override
  public Optional<List<BalanceView.Joint>> joints() {
    return folds.balance.joints();
  }

  @Override
  public Optional<BalanceView.LastTop> lastTop() {
    return folds.balance.lastTop();
  }

  @Override
  public Optional<Interval> socPct() {
    return folds.soc.pct();
  }

  @Override
  public OptionalLong sinceFullMs() {
    return folds.soc.sinceFullMs();
  }

  @Override
  public List<Suspicion> suspicions() {
    return folds.suspicions();
  }

  @Override
  public boolean isNewHigh(int cell) {
    return folds.rate.isNewHigh(cell);
  }

  @Override
  public OptionalDouble slopeMvPerMin(int cell) {
    return folds.rate.slopeMvPerMin(cell);
  }

  @Override
  public OptionalDouble minutesTo(int cell, int limitMv) {
    return folds.rate.minutesTo(cell, limitMv);
  }

  /** What is known of the sign of the current. */
  public SignState currentSign() {
    return folds.plausibility.currentSign();
  }

  @Override
  public Optional<Bounce> bounce() {
    return folds.balance.bounce();
  }

  @Override
  public List<Finding> completed() {
    return wanted.isEmpty() || completed.isEmpty()
        ? List.copyOf(completed)
        : completed.stream().filter(f -> completes(f.name())).toList();
  }

  /** True for a kind of finding that it hands over when one is completed. */
  public boolean completes(FindingName name) {
    return wanted.isEmpty()
        || wanted.contains(name)
        || (name == FindingName.FULL_CHARGE && wanted.contains(FindingName.BALANCE));
  }

  @Override
  public List<Finding> standing() {
    return folds.standing();
  }

  @Override
  public Optional<Finding> standing(FindingName name) {
    return folds.standing(name);
  }

  /** {@link #standing} from what happened since a time alone, of the folds that can tell it. */
  public List<Finding> standingSince(long fromMs) {
    return folds.standingSince(fromMs);
  }

  public Moment moment() {
    return folds.moment;
  }

  @Override
  public void state(State io) {
    io.section(SECTION, VERSION);
    String saved = io.text(fingerprint());
    if (!saved.equals(fingerprint())) {
      throw new StateMismatch("the plan was " + saved + " and is " + fingerprint());
    }
    epoch = io.number(epoch);
    lacking = folds.state(io);
  }

  /** What it makes of a log, by number: another in any part of it makes other results. */
  public Facts versions() {
    return folds.versions(Facts.of().put(SECTION, VERSION));
  }

  /** Findings that it was made for; none when for all. */
  public Set<FindingName> wanted() {
    return wanted;
  }

  /**
   * Findings of which the restored state held another version or nothing: their folds have seen
   * nothing before what followed.
   */
  public Set<FindingName> lacking() {
    return lacking;
  }

  /**
   * Takes the findings that another analysis was made for from there. Both have seen the same
   * entries last, and the other one more of what came before.
   */
  public void take(PackAnalysis refolded) {
    PackFolds whole = empty();
    whole.take(folds, refolded.folds, refolded.wanted);
    folds = whole;
  }

  /**
   * What of plan and settings the state rests on: a state of another plan must not be taken up. All
   * counts but names and what only {@code check} looks at.
   */
  private String fingerprint() {
    PackPlan counting =
        plan.toBuilder().name("").note("").cells(List.of()).fuse(NO_FUSE).wire(NO_WIRE).build();
    return plan.chemistry().word()
        + " "
        + plan.series()
        + "s "
        + plan.ratedMah()
        + " "
        + Integer.toHexString(counting.toString().hashCode())
        + " "
        + Integer.toHexString(settings.hashCode());
  }

  /** Makes one of the folds of a {@link PackAnalysis}, at the start and after each dated change. */
  @FunctionalInterface
  public interface FoldMaker {

    /**
     * A fold that has seen nothing.
     *
     * @param plan the pack
     * @param settings levels and options
     * @param moment what the latest entry shows; kept up to date by the caller, never changed by
     *     the fold
     */
    FindingFold make(PackPlan plan, AnalysisSettings settings, Moment moment);
  }
}
