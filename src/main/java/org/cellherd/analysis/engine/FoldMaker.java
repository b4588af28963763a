package org.cellherd.analysis.engine;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.pack.PackPlan;

/** Makes one of the folds of a {@link PackAnalysis}, at the start and after each dated change. */
@FunctionalInterface
public interface FoldMaker {

  /**
   * A fold that has seen nothing.
   *
   * @param plan the pack
   * @param settings levels and options
   * @param moment what the latest entry shows; kept up to date by the caller, never changed by the
   *     fold
   */
  FindingFold make(PackPlan plan, AnalysisSettings settings, Moment moment);
}
