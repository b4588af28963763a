package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.result.ResistanceResult;

/**
 * What comes again and again over months, each in the order of time.
 *
 * @param charges full charges
 * @param resistances resistances of a time
 */
record SeasonFindings(List<FullChargeResult> charges, List<Resistance> resistances) {

  /** Resistances as known at a time, ms UTC. */
  public record Resistance(long atMs, ResistanceResult found) {}

  public SeasonFindings {
    charges = List.copyOf(charges);
    resistances = List.copyOf(resistances);
  }

  static SeasonFindings of(List<Finding> findings) {
    List<FullChargeResult> charges = new ArrayList<>();
    List<Resistance> resistances = new ArrayList<>();
    for (Finding finding : findings) {
      if (finding.result() instanceof FullChargeResult full) {
        charges.add(full);
      } else if (finding.result() instanceof ResistanceResult found && found.medianMohm() > 0) {
        resistances.add(new Resistance(finding.toMs(), found));
      }
    }
    return new SeasonFindings(charges, resistances);
  }

  /** True where all resistances are known at 25 degC. */
  boolean isBroughtTo25c() {
    return resistances.stream().allMatch(r -> r.found().at25cMohm().isPresent());
  }

  /** True where the newest resistances single out a cell. */
  boolean isSuspect(int cell) {
    return !resistances.isEmpty()
        && resistances
            .get(resistances.size() - 1)
            .found()
            .cell(cell)
            .filter(c -> c.suspect().isPresent())
            .isPresent();
  }
}
