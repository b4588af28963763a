package org.cellherd.report.plot;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.pack.Spoken;

/**
 * The band around the median in which all cells of a balanced pack lie. "Balanced" is a spread from
 * the lowest to the highest cell, so the band reaches half of it to both sides.
 *
 * @param spreadMv spread that counts as balanced, mV; its whole height
 */
public record BalancedBand(double spreadMv) {

  /** Of a pack whose settings say nothing of it: 10 mV (common practice, no source). */
  public static final BalancedBand USUAL = new BalancedBand(AnalysisSettings.BALANCED_MV);

  public static BalancedBand of(AnalysisSettings settings) {
    return new BalancedBand(settings.balancedMv());
  }

  /** Distance of its edges from the median, mV. */
  public double edgeMv() {
    return spreadMv / 2;
  }

  /** "The shaded band is 10 mV high, the spread that counts as balanced." */
  public String words() {
    return "The shaded band is "
        + Spoken.number(spreadMv, 0)
        + " mV high, the spread that counts as balanced.";
  }
}
