package org.cellherd.analysis.engine;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.Fold;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.state.StateMismatch;

/** The states of a pack's folds, each with its own version. */
final class FoldStates {
  private static final int MOST = 100;

  private record Entry(FindingName name, int version, SavedState state) {
    private static final Entry NONE = new Entry(FindingName.BALANCE, 0, SavedState.NONE);

    private static Entry of(FindingFold fold) {
      return new Entry(fold.kind().name(), fold.kind().version(), SavedState.of(fold::state));
    }

    private Entry state(State io) {
      return new Entry(io.constant(name), io.number(version), io.saved(state));
    }
  }

  private FoldStates() {}

  /**
   * Saves all folds, or restores those whose states are there.
   *
   * @param folds in the order in which they are fed
   * @return folds that are left as they were, because they or what they rest on have no state of
   *     their version: the log is to be read for them
   */
  static Set<FindingName> state(List<FindingFold> folds, State io) {
    List<Entry> entries = new ArrayList<>();
    if (!io.isRestoring()) {
      folds.forEach(fold -> entries.add(Entry.of(fold)));
    }
    io.list(entries, MOST, Entry.NONE, Entry::state);
    return io.isRestoring() ? restore(folds, entries) : Set.of();
  }

  private static Set<FindingName> restore(List<FindingFold> folds, List<Entry> entries) {
    Set<FindingName> lacking = EnumSet.noneOf(FindingName.class);
    for (FindingFold fold : folds) {
      if (!entries.stream().anyMatch(entry -> isOf(entry, fold.kind()))) {
        lacking.add(fold.kind().name());
      }
    }
    lacking.addAll(Needs.restingOn(lacking, folds));
    for (FindingFold fold : folds) {
      if (!lacking.contains(fold.kind().name())) {
        entries.stream()
            .filter(entry -> isOf(entry, fold.kind()))
            .findFirst()
            .orElseThrow(() -> new StateMismatch("no state of " + fold.kind().name()))
            .state()
            .into(fold::state);
      }
    }
    return lacking;
  }

  private static boolean isOf(Entry entry, Fold.Kind kind) {
    return entry.name() == kind.name() && entry.version() == kind.version();
  }
}
