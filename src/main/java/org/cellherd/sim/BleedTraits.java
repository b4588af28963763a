package org.cellherd.sim;

/**
 * When a board bleeds a cell.
 *
 * @param amperes what a bleed resistor takes
 * @param fromV cells at or above this
 * @param deltaV and above the lowest cell by this
 * @param when in which state of the pack
 * @param chargingA more charge current than this is charging
 * @param alternateS odd and even cells take turns of this length; 0 all at once
 * @param flag whether the board tells which cells it bleeds
 * @param inPlan whether the owner's plan says that it bleeds, and by what current
 */
record BleedTraits(
    double amperes,
    double fromV,
    double deltaV,
    When when,
    double chargingA,
    double alternateS,
    boolean flag,
    boolean inPlan) {

  /** In which state of the pack. */
  public enum When {
    NEVER,
    CHARGING,
    ALWAYS
  }

  /** A board that never bleeds. */
  public static final BleedTraits NONE = new BleedTraits(0, 9, 0, When.NEVER, 0, 0, false, false);
}
