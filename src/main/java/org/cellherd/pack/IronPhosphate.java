package org.cellherd.pack;

import java.util.List;
import org.cellherd.pack.CellSheet.ByTemperature;
import org.cellherd.pack.CellSheet.ChargeZone;
import org.cellherd.pack.CellSheet.Knee;
import org.cellherd.pack.CellSheet.Levels;
import org.cellherd.pack.CellSheet.OpenCircuit;
import org.cellherd.pack.CellSheet.Plateau;
import org.cellherd.pack.CellSheet.Reason;

/** Lithium iron phosphate against graphite. */
final class IronPhosphate {
  private static final String MODULE = "published manual of a 48 V 50 Ah LFP module";

  /**
   * 3.65 V and 2.5 V from that sheet, other limits common practice. Plateau: common practice,
   * agrees with the curve of Safari and Delacourt, J. Electrochem. Soc. 158 (2011) A562.
   */
  private static final Levels LEVELS =
      new Levels(
          new CellLimits(3650, 3600, 3450, 3400, 3200, 2800, 2500),
          3650,
          new Plateau(3100, 3200, 3370),
          List.of(3280, 3330),
          "published data sheet of a 304 Ah LFP cell");

  /**
   * Slope: spans the curves of Safari and Delacourt, of PyBaMM's set "Prada2013" and two measured
   * cells with a third to spare (from 3 mV for a percent at 3.19 V to 306 below 2.8 V). Near empty:
   * between these two curves (J. Electrochem. Soc. 158 (2011) A562), with the measured curves of
   * two cylindrical cells within. Foot: a straight line through the slopes of both from 3.45 to
   * 3.60 V meets zero near 3.325 V. Hysteresis from memory.
   */
  private static final OpenCircuit CURVE =
      new OpenCircuit(
          IronPhosphate::volts,
          Double.NaN,
          0.020,
          new double[][] {
            {2800, 20, 400},
            {3000, 20, 220},
            {3120, 10, 70},
            {3370, 2, 30},
            {3400, 5, 110},
            {Double.POSITIVE_INFINITY, 25, 240}
          },
          new double[][] {
            {2500, 0, 2.5},
            {2800, 0, 5.5},
            {2900, 0.5, 7.5},
            {3000, 1, 11},
            {3100, 2, 15},
            {3200, 4.5, 29}
          },
          3325,
          List.of(2800, 3000, 3100, 3150, 3380, 3400),
          "Afshar et al. (arXiv 1709.03970) and Chen et al. 2020, widened by other curves");

  private static final Knee KNEE =
      new Knee(
          new double[] {
            3.290, 3.305, 3.315, 3.323, 3.330, 3.336, 3.341, 3.345, 3.349, 3.353, 3.357, 3.362,
            3.368, 3.376, 3.386, 3.398, 3.413, 3.431, 3.453, 3.479, 3.510, 3.548, 3.594, 3.655,
            3.740
          },
          new double[] {3.29, 3.34, 3.355, 3.37, 3.40, 3.43, 3.50, 3.60, 3.75},
          new double[] {2.5, 1.2, 0.15, 0.05, 0.020, 0.012, 0.007, 0.005, 0.004},
          new double[] {1.2, 1.2, 1.2, 1.0, 0.8, 0.65, 0.6, 0.6, 0.6});

  /** The faster rates of that manual. */
  private static final List<ChargeZone> ZONES =
      List.of(
          ChargeZone.none(-1),
          ChargeZone.rate(49, 0.1, "reduced"),
          ChargeZone.rate(99, 0.2, "reduced"),
          ChargeZone.rate(249, 1, "normal"),
          ChargeZone.rate(500, 0.75, "normal"),
          ChargeZone.rate(600, 0.1, "reduced"),
          ChargeZone.none(Integer.MAX_VALUE));

  static final CellSheet SHEET =
      new CellSheet(
          LEVELS,
          CURVE,
          KNEE,
          new ByTemperature(
              0,
              -20,
              CellSheet.PACK_SHEET,
              ZONES,
              new Reason(
                  "Lithium plates on cold graphite. Up to 5 °C at most 0.1 C, up to 10 °C 0.2 C.",
                  MODULE),
              new Reason("Heat ages cells at the top.", CellSheet.PACK_SHEET),
              MODULE,
              MODULE + " (0.2 C from 10 to 25 °C)"));

  private IronPhosphate() {}

  /**
   * The positive curve of Afshar et al. (arXiv 1709.03970), as in the parameter set Prada2013 of
   * the open PyBaMM repository.
   */
  private static double volts(double z) {
    double p = 0.0038 + (1 - z) * 2.3 / 3.29186;
    double n = 0.81 - (1 - z) * 2.3 / 2.90684;
    double positive =
        3.4077 - 0.020269 * p + 0.5 * Math.exp(-150 * p) - 0.9 * Math.exp(-30 * (1 - p));
    return positive - Graphite.volts(n);
  }
}
