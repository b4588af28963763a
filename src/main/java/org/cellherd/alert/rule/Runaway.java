package org.cellherd.alert.rule;

/**
 * The signs of thermal runaway of GB 38031-2025, C.5.3.7: a) voltage fallen by more than a quarter,
 * b) temperature at the maker's highest, c) heating faster than a rate; runaway is (a and c) or (b
 * and c). It comes far too late to save a pack; it is the last level.
 *
 * @param isVoltageFallen a)
 * @param isHot b)
 * @param isHeating c)
 */
record Runaway(boolean isVoltageFallen, boolean isHot, boolean isHeating) {
  boolean isRunaway() {
    return isHeating && (isVoltageFallen || isHot);
  }
}
