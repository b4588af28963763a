package org.cellherd.pack;

import java.util.Optional;

/**
 * Cell chemistries and their usual voltages. The cell maker's sheet rules; these are the starting
 * values of a plan that says nothing else.
 *
 * <p>Sources: LFP 3.65 V and 2.5 V from a published data sheet of a 304 Ah prismatic cell; all
 * other voltages from memory, common practice.
 */
public enum Chemistry implements Worded {
  /** Lithium iron phosphate. */
  LFP(new CellLimits(3650, 3600, 3450, 3400, 3200, 2800, 2500), 3650),
  /** Nickel manganese cobalt oxide. */
  NMC(new CellLimits(4200, 4150, 4100, 4050, 3650, 3200, 3000), 4200),
  /** Nickel cobalt aluminium oxide. */
  NCA(new CellLimits(4200, 4150, 4100, 4050, 3600, 3200, 2500), 4200),
  /** Lithium titanate. */
  LTO(new CellLimits(2800, 2700, 2650, 2550, 2350, 1800, 1500), 2750),
  /** Sodium-ion with hard carbon. */
  SODIUM_ION(new CellLimits(3950, 3900, 3800, 3750, 3100, 2000, 1500), 3950);

  private final CellLimits limits;
  private final int chargeMv;

  Chemistry(CellLimits limits, int chargeMv) {
    this.limits = limits;
    this.chargeMv = chargeMv;
  }

  /** The usual limits of one cell. */
  public CellLimits limits() {
    return limits;
  }

  /** Highest usual charge voltage of one cell, mV. */
  public int chargeMv() {
    return chargeMv;
  }

  /**
   * Coldest cell that may be charged, degC: graphite plates lithium below 0 degC, titanate and hard
   * carbon tolerate more. 0 degC from a common pack sheet, the others common practice, no source.
   */
  public int chargeFloorC() {
    return switch (this) {
      case LFP, NMC, NCA -> 0;
      case LTO -> -20;
      case SODIUM_ION -> -10;
    };
  }

  /**
   * Coldest cell that may be used at all, degC; -20 degC from a common pack sheet, others usual.
   */
  public int useFloorC() {
    return switch (this) {
      case LFP, NMC, NCA -> -20;
      case LTO, SODIUM_ION -> -30;
    };
  }

  /** The chemistry of a file's word, or empty. */
  public static Optional<Chemistry> ofWord(String word) {
    return Worded.find(values(), word);
  }
}
