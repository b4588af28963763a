package org.cellherd.pack;

import java.util.List;
import org.cellherd.pack.CellSheet.ByTemperature;
import org.cellherd.pack.CellSheet.ChargeZone;
import org.cellherd.pack.CellSheet.Knee;
import org.cellherd.pack.CellSheet.Levels;
import org.cellherd.pack.CellSheet.OpenCircuit;
import org.cellherd.pack.CellSheet.Plateau;
import org.cellherd.pack.CellSheet.Reason;

/**
 * Nickel-rich layered oxides of the 4.2 V class against graphite: NMC, and NCA with its curve for
 * want of a better one. Voltages from memory, common practice.
 */
final class LayeredOxide {
  private static final String ZONES_SOURCE =
      "zones of JEITA, as a semiconductor maker's note gives them";

  private static final List<Integer> STORED_MV = List.of(3600, 3850);

  private static final Knee KNEE =
      new Knee(
          Knee.even(3.62, 4.30),
          new double[] {3.6, 3.8, 4.1, 4.3},
          new double[] {0.15, 0.15, 0.17, 0.15},
          new double[] {0.5, 0.4, 0.4, 0.6});

  private static final ByTemperature BY_TEMPERATURE =
      new ByTemperature(
          0,
          -20,
          CellSheet.PACK_SHEET,
          List.of(
              ChargeZone.none(-1),
              new ChargeZone(99, 0.5, 4_100, true, "reduced"),
              ChargeZone.rate(450, ChargeZone.ANY_RATE, "normal"),
              ChargeZone.volts(500, 4_150),
              ChargeZone.volts(600, 4_100),
              ChargeZone.none(Integer.MAX_VALUE)),
          new Reason(
              "Lithium plates on cold graphite. Up to 10 °C at most 0.5 C, or 4.1 V a cell.",
              ZONES_SOURCE),
          new Reason("Above it only to 4.15 V, from 50 °C to 4.1 V.", ZONES_SOURCE),
          CellSheet.PACK_SHEET,
          CellSheet.PRACTICE);

  static final CellSheet NMC =
      sheet(
          new CellLimits(4200, 4150, 4100, 4050, 3650, 3200, 3000),
          Plateau.none(3425, 3650),
          "Chen et al., J. Electrochem. Soc. 167 (2020) 080534, widened");

  static final CellSheet NCA =
      sheet(
          new CellLimits(4200, 4150, 4100, 4050, 3600, 3200, 2500),
          Plateau.none(3400, 3600),
          "an NMC curve (Chen et al. 2020) for want of a better one, widened");

  private LayeredOxide() {}

  private static CellSheet sheet(CellLimits limits, Plateau plateau, String source) {
    Levels levels = new Levels(limits, 4200, plateau, STORED_MV, CellSheet.PRACTICE);
    return new CellSheet(levels, curve(source), KNEE, BY_TEMPERATURE);
  }

  /**
   * Slope: spans Chen et al. (2020) and two measured cells with a third to spare, and steeper ones
   * below 3.45 V: there these fall off within some 3 % of their charge, at 72 to 240 mV for a
   * percent below 3.2 V, and others within 2 % (from memory). Near empty: around the measured
   * curves of two cylindrical cells and that of Chen et al. (J. Electrochem. Soc. 167 (2020)
   * 080534).
   */
  private static OpenCircuit curve(String source) {
    return new OpenCircuit(
        LayeredOxide::volts,
        0.12,
        0.010,
        new double[][] {
          {2800, 100, 480},
          {3000, 60, 340},
          {3200, 25, 240},
          {3450, 8, 140},
          {Double.POSITIVE_INFINITY, 2, 20}
        },
        new double[][] {{2500, 0, 1}, {3000, 1, 5}, {3200, 3, 9}, {3300, 6, 13}, {3400, 9, 19}},
        Double.NaN,
        List.of(),
        source);
  }

  /** Chen et al. 2020; positive fit from memory. */
  private static double volts(double z) {
    double p = 0.2638 + (1 - z) * 0.5902;
    double n = 0.9106 - (1 - z) * 0.8843;
    double positive =
        -0.8090 * p
            + 4.4875
            - 0.0428 * Math.tanh(18.5138 * (p - 0.5542))
            - 17.7326 * Math.tanh(15.7890 * (p - 0.3117))
            + 17.5842 * Math.tanh(15.9308 * (p - 0.3120));
    return positive - Graphite.volts(n);
  }
}
