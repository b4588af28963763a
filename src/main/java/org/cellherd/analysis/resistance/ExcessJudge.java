package org.cellherd.analysis.resistance;

import org.cellherd.analysis.result.ResistanceResult;

/**
 * Tells a bad joint from a bad cell. The excess of a joint is ohmic: the same in cold and warmth,
 * and the same for short and long pulses; that of a cell moves as the other cells do.
 */
final class ExcessJudge {
  private static final double TOLD_APART = 1.12;

  private ExcessJudge() {}

  /**
   * Judges by two conditions under which the median of the cells differs.
   *
   * @param excess1 cell less median under the first condition
   * @param median1 median under the first condition
   * @param excess2 cell less median under the second condition
   * @param median2 median under the second condition
   */
  static ResistanceResult.Suspect judge(
      double excess1, double median1, double excess2, double median2) {
    double cells = Math.max(median1, median2) / Math.min(median1, median2);
    if (!(cells >= TOLD_APART) || !(excess1 > 0) || !(excess2 > 0)) {
      return ResistanceResult.Suspect.STRAP_OR_CELL;
    }
    double own = median1 > median2 ? excess1 / excess2 : excess2 / excess1;
    return own < Math.sqrt(cells) ? ResistanceResult.Suspect.STRAP : ResistanceResult.Suspect.CELL;
  }
}
