package org.cellherd.analysis.engine;

import java.util.Collection;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.fold.FindingFold;

/** Which folds rest on which. */
final class Needs {

  private Needs() {}

  /**
   * The folds whose words some findings hold, apart from what those rest on: a full charge is told
   * by the balance, the balance names causes that others found, and the doubts of the readings hold
   * those of the counted charge.
   */
  static Set<FindingName> told(Collection<FindingName> wanted) {
    Set<FindingName> all = EnumSet.noneOf(FindingName.class);
    all.addAll(wanted);
    if (all.contains(FindingName.BALANCE)) {
      all.addAll(Set.of(FindingName.RESISTANCE, FindingName.REST, FindingName.AGEING));
    }
    if (all.contains(FindingName.FULL_CHARGE)) {
      all.add(FindingName.BALANCE);
    }
    if (all.contains(FindingName.PLAUSIBILITY)) {
      all.add(FindingName.SOC);
    }
    return all;
  }

  /** These folds and all that they rest on. */
  static Set<FindingName> of(Collection<FindingName> wanted, List<FindingFold> folds) {
    Set<FindingName> all = EnumSet.noneOf(FindingName.class);
    all.addAll(wanted);
    for (boolean isMore = true; isMore; ) {
      isMore = false;
      for (FindingFold fold : folds) {
        isMore |= all.contains(fold.kind().name()) && all.addAll(fold.kind().restsOn());
      }
    }
    return all;
  }

  /** These folds and all that rest on them. */
  static Set<FindingName> restingOn(Collection<FindingName> changed, List<FindingFold> folds) {
    Set<FindingName> all = EnumSet.noneOf(FindingName.class);
    all.addAll(changed);
    for (boolean isMore = true; isMore; ) {
      isMore = false;
      for (FindingFold fold : folds) {
        boolean isTouched = fold.kind().restsOn().stream().anyMatch(all::contains);
        isMore |= isTouched && all.add(fold.kind().name());
      }
    }
    return all;
  }
}
