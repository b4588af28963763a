package org.cellherd.alert.rule;

/**
 * What is drawn in a part of a night.
 *
 * @param ah the mean of the nights before, Ah; NaN where it is not known
 * @param deviationAh by how much a night differs from it, one standard deviation
 */
record NightLoad(double ah, double deviationAh) {
  boolean isKnown() {
    return !Double.isNaN(ah);
  }
}
