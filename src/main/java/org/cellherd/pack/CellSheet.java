package org.cellherd.pack;

import java.util.List;
import java.util.function.DoubleUnaryOperator;

/**
 * What is known beforehand of the cells of one chemistry. The cell maker's own sheet rules; these
 * are the starting values of a plan that says nothing else, and bounds on how cells of a kind
 * differ. Each chemistry is told in one file, with the source of every number.
 *
 * @param levels where voltages warn, count as full, and are compared
 * @param openCircuit resting voltage over charge
 * @param knee charge over voltage near the top, as the estimator of leads begins with it
 * @param byTemperature what temperatures allow
 */
public record CellSheet(
    Levels levels, OpenCircuit openCircuit, Knee knee, ByTemperature byTemperature) {

  /** The source of a number that everybody uses and nobody published. */
  public static final String PRACTICE = "common practice, no source";

  /** Of temperatures from 0 and from -20 degC on. */
  static final String PACK_SHEET =
      "a common pack sheet (charge 0 to 45 °C, discharge \u221220 to 60 °C)";

  /**
   * Voltages of one cell, mV.
   *
   * @param limits the usual limits
   * @param chargeMv highest usual charge voltage
   * @param plateau where the voltage tells the charge, and where not
   * @param storedMv a resting cell about half full, least and most (common practice, no source)
   * @param source of the highest and the lowest voltage
   */
  public record Levels(
      CellLimits limits, int chargeMv, Plateau plateau, List<Integer> storedMv, String source) {}

  /**
   * What the voltage of a cell tells of its charge.
   *
   * @param lowKneeMv the lower knee ends here, mV (without a plateau half-way from the low warning
   *     to the label value)
   * @param blindFromMv resting voltages between here and {@code blindToMv} say nothing about
   *     charge, mV; equal to {@code blindToMv} where there is no plateau
   * @param blindToMv see {@code blindFromMv}
   */
  public record Plateau(int lowKneeMv, int blindFromMv, int blindToMv) {
    static Plateau none(int lowKneeMv, int nominalMv) {
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

  /**
   * The open-circuit curve at 25 degC. A model, good for bounds only.
   *
   * @param volts resting voltage over state of charge from 0 to 1, without hysteresis
   * @param modelError by how much published curves of the chemistry lie apart, a share of the
   *     charge; NaN where they are not off by a constant
   * @param hysteresisV full distance between the charge and the discharge branch at rest, V
   * @param slopes rows of mV, up to which the slope lies between two bounds, mV for each percent
   * @param nearEmpty rows of mV and the least and most percent that are left there
   * @param footMv where the straight line through the slopes of the upper knee meets zero, mV; NaN
   *     where that knee is not known
   * @param besidePlateauMv resting voltages worth telling, below and above a plateau; empty without
   *     one
   * @param source where the curve comes from, for people
   */
  @SuppressWarnings("ArrayRecordComponent")
  public record OpenCircuit(
      DoubleUnaryOperator volts,
      double modelError,
      double hysteresisV,
      double[][] slopes,
      double[][] nearEmpty,
      double footMv,
      List<Integer> besidePlateauMv,
      String source) {}

  /**
   * Charge over rested voltage where a charge ends (published curves, from memory).
   *
   * @param knotsV where the curve is bent, V, rising
   * @param volts the rows of the two columns that follow, V
   * @param pctPerMv percent of the rated charge for each mV
   * @param logError error of the logarithm of that
   */
  @SuppressWarnings("ArrayRecordComponent")
  public record Knee(double[] knotsV, double[] volts, double[] pctPerMv, double[] logError) {
    private static final int STEPS = 24;

    /** Logarithm of the percent for each mV at a rested voltage, V: straight between the rows. */
    public double logPctPerMv(double v) {
      int i = row(v);
      double low = Math.log(pctPerMv[i - 1]);
      return low + share(v, i) * (Math.log(pctPerMv[i]) - low);
    }

    /** Error of that logarithm. */
    public double logErrorAt(double v) {
      int i = row(v);
      return logError[i - 1] + share(v, i) * (logError[i] - logError[i - 1]);
    }

    private int row(double v) {
      int i = 1;
      while (i < volts.length - 1 && v > volts[i]) {
        i++;
      }
      return i;
    }

    private double share(double v, int i) {
      return Math.min(1, Math.max(0, (v - volts[i - 1]) / (volts[i] - volts[i - 1])));
    }

    /** Knots at equal distances. */
    static double[] even(double lowV, double highV) {
      double[] knots = new double[STEPS + 1];
      for (int i = 0; i <= STEPS; i++) {
        knots[i] = lowV + (highV - lowV) * i / STEPS;
      }
      return knots;
    }
  }

  /**
   * What temperatures of the cells allow.
   *
   * @param chargeFloorC coldest cell that may be charged, degC: graphite plates lithium below 0
   *     degC, titanate and hard carbon tolerate more
   * @param useFloorC coldest cell that may be used at all, degC
   * @param floor the source of both
   * @param zones what published tables allow, from the coldest; empty where none is known
   * @param cold why charging stops in the cold
   * @param warm why it stops in the heat
   * @param heat the source of the hottest that may be used
   * @param gentle the source of a gentle charge, 0.2C
   */
  public record ByTemperature(
      int chargeFloorC,
      int useFloorC,
      String floor,
      List<ChargeZone> zones,
      Reason cold,
      Reason warm,
      String heat,
      String gentle) {}

  /**
   * Why a number is what it is.
   *
   * @param text a sentence
   * @param source a published table, or {@link #PRACTICE}
   */
  public record Reason(String text, String source) {}

  /**
   * What a published table allows a charge at a range of cell temperatures.
   *
   * @param upToTenthC highest temperature that belongs to it, 0.1 degC
   * @param mostRate times the rated capacity an hour; 0 is no charge at all
   * @param mostCellMv highest cell voltage; {@link #ANY_MV} is that of the plan
   * @param isEither true where keeping one of the two is enough
   * @param word {@code none reduced normal reduced_voltage}
   */
  public record ChargeZone(
      int upToTenthC, double mostRate, int mostCellMv, boolean isEither, String word) {
    /** No voltage of its own. */
    public static final int ANY_MV = Integer.MAX_VALUE;

    static final double ANY_RATE = Double.MAX_VALUE;

    private static final ChargeZone UNKNOWN = rate(Integer.MAX_VALUE, ANY_RATE, "normal");

    static ChargeZone none(int upToTenthC) {
      return new ChargeZone(upToTenthC, 0, ANY_MV, false, "none");
    }

    static ChargeZone rate(int upToTenthC, double mostRate, String word) {
      return new ChargeZone(upToTenthC, mostRate, ANY_MV, false, word);
    }

    static ChargeZone volts(int upToTenthC, int mostCellMv) {
      return new ChargeZone(upToTenthC, ANY_RATE, mostCellMv, false, "reduced_voltage");
    }

    /**
     * True when a charge goes beyond the zone.
     *
     * @param rate times the rated capacity an hour
     * @param highestMv highest cell, mV
     */
    public boolean isExceeded(double rate, double highestMv) {
      boolean isFast = rate > mostRate;
      boolean isHigh = mostCellMv != ANY_MV && highestMv > mostCellMv;
      return isEither ? isFast && isHigh : isFast || isHigh;
    }
  }

  /** The zone of a temperature in 0.1 degC; all is allowed where no table is known. */
  public ChargeZone chargeZone(int tenthC) {
    List<ChargeZone> zones = byTemperature.zones;
    for (int i = 0; i < zones.size(); i++) {
      if (tenthC <= zones.get(i).upToTenthC) {
        return zones.get(i);
      }
    }
    return ChargeZone.UNKNOWN;
  }
}
