package org.cellherd.analysis.engine;

import java.util.List;
import org.cellherd.analysis.ageing.AgeingFold;
import org.cellherd.analysis.capacity.CapacityFold;
import org.cellherd.analysis.energy.EnergyFold;
import org.cellherd.analysis.resistance.ResistanceFold;
import org.cellherd.analysis.rest.RestFold;

/** The folds of every {@link PackAnalysis} beyond charge, balance and plausibility, in order. */
final class StandardFolds {

  /** Order is part of the saved state: add at the end. */
  static final List<PackAnalysis.FoldMaker> LIST =
      List.of(
          EnergyFold::new, CapacityFold::new, ResistanceFold::new, RestFold::new, AgeingFold::new);

  private StandardFolds() {}
}
