package org.cellherd.pack;

import java.util.List;
import org.cellherd.pack.CellSheet.ByTemperature;
import org.cellherd.pack.CellSheet.Knee;
import org.cellherd.pack.CellSheet.Levels;
import org.cellherd.pack.CellSheet.OpenCircuit;
import org.cellherd.pack.CellSheet.Plateau;
import org.cellherd.pack.CellSheet.Reason;

/** Sodium-ion with hard carbon; all of it from memory, common practice. */
final class SodiumIon {
  /**
   * A straight line through usual end voltages. Slope: hard carbon against layered oxides of many
   * shapes. Below some 2.8 V the carbon leaves its bend and falls off by half a volt within the
   * last few percent; above it is nearly flat, and the oxide alone slopes, in soft steps.
   */
  private static final OpenCircuit CURVE =
      new OpenCircuit(
          z -> 2.0 + 1.95 * z,
          0.2,
          0.020,
          new double[][] {
            {2000, 10, 400}, {2500, 6, 350}, {2900, 4, 150}, {Double.POSITIVE_INFINITY, 3, 60}
          },
          new double[0][],
          Double.NaN,
          List.of(),
          "a straight line through usual end voltages, widened; from memory");

  static final CellSheet SHEET =
      new CellSheet(
          new Levels(
              new CellLimits(3950, 3900, 3800, 3750, 3100, 2000, 1500),
              3950,
              Plateau.none(2550, 3100),
              List.of(2800, 3100),
              CellSheet.PRACTICE),
          CURVE,
          new Knee(
              Knee.even(3.04, 4.06),
              new double[] {3.0, 3.6, 3.75, 4.06},
              new double[] {0.09, 0.09, 0.07, 0.04},
              new double[] {0.4, 0.4, 0.5, 0.6}),
          new ByTemperature(
              -10,
              -30,
              CellSheet.PRACTICE,
              List.of(),
              new Reason("These cells tolerate more cold than graphite does.", CellSheet.PRACTICE),
              new Reason("Heat ages cells at the top.", CellSheet.PRACTICE),
              CellSheet.PRACTICE,
              CellSheet.PRACTICE));

  private SodiumIon() {}
}
