package org.cellherd.analysis.fold;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.moment.Moment;

/**
 * A fold that ends in findings. It is handed the shared {@link Moment} when it is made; the pack's
 * analysis brings the moment up to date before it calls {@link Fold#accept}, so that a fold need
 * not work out class, median or dead zone again.
 */
public interface FindingFold extends Fold {

  /** Which fold it is; one of its name in a pack. */
  Fold.Kind kind();

  /** Findings completed since the last call, in order of completion; each is handed over once. */
  default List<Finding> drainCompleted() {
    return List.of();
  }

  /** The finding as it stands after the latest entry; empty while nothing can be said. */
  Optional<Finding> standing();

  /**
   * The same from what happened since a time alone, where a fold can tell it apart from what was
   * before; of the others what stands.
   *
   * @param fromMs ms UTC
   */
  default Optional<Finding> standingSince(long fromMs) {
    return standing();
  }

  /**
   * A fold of the same pack, or this one, completed a finding by the latest entry. Whether it is
   * told before or after {@link #accept} of that entry depends on the order of the folds only.
   */
  default void hear(Finding finding) {}

  /**
   * The pack was changed and this fold is about to be thrown away: completes what can stand on its
   * own. {@link #drainCompleted} is called once more afterwards.
   */
  default void end() {}
}
