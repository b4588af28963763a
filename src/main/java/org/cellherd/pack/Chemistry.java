package org.cellherd.pack;

import java.util.List;
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
  LFP(
      new CellLimits(3650, 3600, 3450, 3400, 3200, 2800, 2500),
      3650,
      new Plateau(3100, 3200, 3370)),
  /** Nickel manganese cobalt oxide. */
  NMC(new CellLimits(4200, 4150, 4100, 4050, 3650, 3200, 3000), 4200, Plateau.none(3425, 3650)),
  /** Nickel cobalt aluminium oxide. */
  NCA(new CellLimits(4200, 4150, 4100, 4050, 3600, 3200, 2500), 4200, Plateau.none(3400, 3600)),
  /** Lithium titanate. */
  LTO(new CellLimits(2800, 2700, 2650, 2550, 2350, 1800, 1500), 2750, Plateau.none(2075, 2350)),
  /** Sodium-ion with hard carbon. */
  SODIUM_ION(
      new CellLimits(3950, 3900, 3800, 3750, 3100, 2000, 1500), 3950, Plateau.none(2550, 3100));

  private final CellLimits limits;
  private final int chargeMv;
  private final Plateau plateau;

  Chemistry(CellLimits limits, int chargeMv, Plateau plateau) {
    this.limits = limits;
    this.chargeMv = chargeMv;
    this.plateau = plateau;
  }

  /**
   * What the voltage of a cell tells of its charge.
   *
   * @param lowKneeMv the lower knee ends here, mV (LFP 3100: common practice; others half-way from
   *     the low warning to the label value)
   * @param blindFromMv resting voltages between here and {@code blindToMv} say nothing about
   *     charge, mV; equal to {@code blindToMv} where there is no plateau
   * @param blindToMv see {@code blindFromMv} (LFP 3200 to 3370: common practice, agrees with the
   *     curve of Safari and Delacourt, J. Electrochem. Soc. 158 (2011) A562)
   */
  public record Plateau(int lowKneeMv, int blindFromMv, int blindToMv) {
    private static Plateau none(int lowKneeMv, int nominalMv) {
      return new Plateau(lowKneeMv, nominalMv, nominalMv);
    }

    /** True where a part of the curve tells nothing. */
    public boolean isFlat() {
      return blindFromMv < blindToMv;
    }

    /** True where a resting voltage says nothing about charge. */
    public boolean isBlind(double restMv) {
      return isFlat() && restMv >= blindFromMv && restMv <= blindToMv;
    }
  }

  /** Where the voltage of a cell tells its charge, and where not. */
  public Plateau plateau() {
    return plateau;
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
   * Levels at which cells are compared as they rise one after the other, mV, rising: in the upper
   * knee, below where a charge ends (common practice, no source).
   */
  public List<Integer> crossingMv() {
    return switch (this) {
      case LFP -> List.of(3380, 3400, 3420, 3450, 3475, 3500);
      case NMC, NCA -> List.of(3950, 4000, 4050, 4080, 4100, 4130);
      case LTO -> List.of(2450, 2500, 2550, 2600, 2650);
      case SODIUM_ION -> List.of(3600, 3650, 3700, 3750, 3800, 3850);
    };
  }

  /** A resting cell about half full, least and most mV (common practice, no source). */
  public List<Integer> storedMv() {
    return switch (this) {
      case LFP -> List.of(3280, 3330);
      case NMC, NCA -> List.of(3600, 3850);
      case LTO -> List.of(2200, 2350);
      case SODIUM_ION -> List.of(2800, 3100);
    };
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
