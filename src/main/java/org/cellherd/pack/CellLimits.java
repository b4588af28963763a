package org.cellherd.pack;

/**
 * Voltages of one cell in mV, highest first.
 *
 * @param cutOffHighMv never above
 * @param warnHighMv warn at and above
 * @param fullMv a cell at rest-free charge counts as full from here on: the upper knee's measuring
 *     level
 * @param kneeMv the upper knee begins here while charging
 * @param nominalMv label value
 * @param warnLowMv warn at and below
 * @param cutOffLowMv never below
 */
public record CellLimits(
    int cutOffHighMv,
    int warnHighMv,
    int fullMv,
    int kneeMv,
    int nominalMv,
    int warnLowMv,
    int cutOffLowMv) {

  /** Refuses levels that are not in falling order. */
  public CellLimits {
    if (!(cutOffHighMv >= warnHighMv
        && warnHighMv >= fullMv
        && fullMv >= kneeMv
        && kneeMv > nominalMv
        && nominalMv > warnLowMv
        && warnLowMv >= cutOffLowMv
        && cutOffLowMv > 0)) {
      throw new IllegalArgumentException(
          "cell voltages must fall from cut_off_high to cut_off_low, got "
              + cutOffHighMv
              + " "
              + warnHighMv
              + " "
              + fullMv
              + " "
              + kneeMv
              + " "
              + nominalMv
              + " "
              + warnLowMv
              + " "
              + cutOffLowMv
              + " mV");
    }
  }
}
