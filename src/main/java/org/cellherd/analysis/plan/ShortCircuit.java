package org.cellherd.analysis.plan;

/** The current that flows when the pack is shorted behind its fuse. */
final class ShortCircuit {

  /** Resistance of a good large cell times its capacity: 0.25 mohm at 280 Ah, common practice. */
  private static final double MOHM_AH = 70;

  /** Links, wire and lugs of a whole pack, mohm; common practice, no source. */
  public static final double LINK_MOHM = 4;

  private ShortCircuit() {}

  /**
   * Prospective current: n V / (n R + R_link).
   *
   * @param series cells in series
   * @param cellMv voltage of one cell, mV
   * @param groupMohm resistance of one group, mohm
   * @param linkMohm resistance of everything else, mohm
   * @return current in A
   */
  public static double amps(int series, double cellMv, double groupMohm, double linkMohm) {
    return series * cellMv / (series * groupMohm + linkMohm);
  }

  /** A guess at a group's resistance where none was measured, mohm. */
  public static double guessedMohm(double groupAh) {
    return MOHM_AH / groupAh;
  }
}
