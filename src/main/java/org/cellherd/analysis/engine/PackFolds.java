package org.cellherd.analysis.engine;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.balance.BalanceFold;
import org.cellherd.analysis.charge.SocFold;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.moment.KneeRate;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.plausible.Confirmation;
import org.cellherd.analysis.plausible.PlausibilityFold;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.jspecify.annotations.Nullable;

/** All folds of one pack between two changes of it. */
final class PackFolds {
  final Moment moment;
  private final AnalysisSettings settings;
  private final Confirmation confirmation;
  final KneeRate rate;
  final BalanceFold balance;
  final SocFold soc;
  final PlausibilityFold plausibility;
  private final List<FindingFold> folds;
  private final boolean isWhole;
  private @Nullable BalanceView view;
  private @Nullable List<Suspicion> suspicions;
  private @Nullable List<Finding> standing;

  /**
   * Begins.
   *
   * @param wanted the folds wanted, which are fed with those that they rest on alone; all when
   *     empty
   */
  PackFolds(
      PackPlan plan,
      AnalysisSettings settings,
      List<PackAnalysis.FoldMaker> makers,
      Collection<FindingName> wanted) {
    this.settings = settings;
    confirmation = new Confirmation(plan);
    moment = new Moment(plan, settings);
    rate = new KneeRate(plan.series());
    balance = new BalanceFold(plan, settings, moment);
    balance.alsoAsk(name -> standing(name));
    List<FindingFold> all = new ArrayList<>();
    all.add(balance);
    soc = new SocFold(plan, settings, moment);
    all.add(soc);
    moment.askForSoc(soc::pct);
    plausibility = new PlausibilityFold(plan, settings, moment);
    plausibility.alsoTell(() -> counted(soc));
    all.add(plausibility);
    for (PackAnalysis.FoldMaker maker : makers) {
      all.add(maker.make(plan, settings, moment));
    }
    isWhole = wanted.isEmpty();
    folds = isWhole ? all : needed(wanted, all);
  }

  private static List<FindingFold> needed(Collection<FindingName> wanted, List<FindingFold> all) {
    Set<FindingName> needed = Needs.of(wanted, all);
    return all.stream().filter(fold -> needed.contains(fold.kind().name())).toList();
  }

  private List<Suspicion> counted(SocFold count) {
    List<Suspicion> found = new ArrayList<>(count.suspicions());
    found.addAll(confirmation.lone().suspicions(moment.wallMs(moment.upMs())));
    return found;
  }

  void accept(LogEntry raw, List<Finding> completed) {
    LogEntry entry =
        confirmation.accept(raw instanceof Reading r ? settings.sensors().corrected(r) : raw);
    view = null;
    suspicions = null;
    standing = null;
    moment.accept(entry);
    if (isWhole) {
      // Only rules ask for it, and they look at a whole analysis.
      rate.accept(moment);
    }
    if (!folds.contains(plausibility)) {
      plausibility.acceptForSign(entry);
    }
    for (FindingFold fold : folds) {
      fold.accept(entry);
      List<Finding> found = fold.drainCompleted();
      if (!found.isEmpty()) {
        share(found, completed);
      }
    }
  }

  private void share(List<Finding> found, List<Finding> completed) {
    for (Finding finding : found) {
      completed.add(finding);
      for (FindingFold fold : folds) {
        fold.hear(finding);
      }
    }
  }

  void end(List<Finding> completed) {
    for (FindingFold fold : folds) {
      fold.end();
      completed.addAll(fold.drainCompleted());
    }
  }

  /** Worked out when first asked for after an entry. */
  BalanceView balanceView() {
    BalanceView known = view;
    if (known == null) {
      known = balance.view();
      view = known;
    }
    return known;
  }

  List<Suspicion> suspicions() {
    List<Suspicion> known = suspicions;
    if (known == null) {
      known = List.copyOf(plausibility.suspicions());
      suspicions = known;
    }
    return known;
  }

  /** Worked out when first asked for after an entry: several rules ask at once. */
  List<Finding> standing() {
    List<Finding> known = standing;
    if (known == null) {
      List<Finding> all = new ArrayList<>();
      for (FindingFold fold : folds) {
        fold.standing().ifPresent(all::add);
      }
      known = List.copyOf(all);
      standing = known;
    }
    return known;
  }

  Optional<Finding> standing(FindingName name) {
    return folds.stream()
        .filter(fold -> fold.kind().name() == name)
        .flatMap(fold -> fold.standing().stream())
        .findFirst();
  }

  List<Finding> standingSince(long fromMs) {
    return folds.stream().flatMap(fold -> fold.standingSince(fromMs).stream()).toList();
  }

  /**
   * Describes the whole state, with that of {@link #plausibility}: the sign of the current is told
   * with every answer.
   *
   * @return folds of which another version or nothing was saved, and which have seen nothing
   */
  Set<FindingName> state(State io) {
    common(io);
    List<FindingFold> all = new ArrayList<>(folds);
    if (!all.contains(plausibility)) {
      all.add(plausibility);
    }
    return FoldStates.state(all, io);
  }

  Facts versions(Facts.Builder facts) {
    folds.forEach(fold -> facts.put(fold.kind().name().word(), fold.kind().version()));
    return facts.build();
  }

  private void common(State io) {
    confirmation.state(io);
    moment.state(io);
    rate.state(io);
  }

  /** Goes on, as one that has seen nothing, where two stand that have seen the same entries. */
  void take(PackFolds live, PackFolds refolded, Set<FindingName> again) {
    SavedState.of(live::common).into(this::common);
    for (FindingFold fold : folds) {
      FindingName name = fold.kind().name();
      FindingFold from = (again.contains(name) ? refolded : live).fold(name);
      SavedState.of(from::state).into(fold::state);
    }
  }

  private FindingFold fold(FindingName name) {
    return folds.stream()
        .filter(fold -> fold.kind().name() == name)
        .findFirst()
        .orElseThrow(() -> new IllegalStateException("no fold " + name));
  }
}
