package org.cellherd.sim;

/**
 * When a board opens its switches and closes them again. Values that never happen switch a rule
 * off.
 *
 * @param highV opens the charge switch when a cell reaches this
 * @param highReleaseV closes it when all cells are below this
 * @param lowV opens the discharge switch when a cell falls to this
 * @param lowReleaseV closes it when all cells are above this
 * @param delayS a cell must stay beyond its trip so long
 * @param coldC no charge below this temperature
 * @param hotC neither above this one
 * @param amperes neither charge nor discharge above this for the delay; tried again after 30 s
 */
record TripTraits(
    double highV,
    double highReleaseV,
    double lowV,
    double lowReleaseV,
    double delayS,
    double coldC,
    double hotC,
    double amperes) {

  /** A board that never trips. */
  public static final TripTraits NONE = new TripTraits(99, 99, -99, -99, 1, -273, 999, 1e9);
}
