package org.cellherd.pack;

import java.util.List;
import org.cellherd.pack.CellSheet.ByTemperature;
import org.cellherd.pack.CellSheet.Knee;
import org.cellherd.pack.CellSheet.Levels;
import org.cellherd.pack.CellSheet.OpenCircuit;
import org.cellherd.pack.CellSheet.Plateau;
import org.cellherd.pack.CellSheet.Reason;

/** Lithium titanate; all of it from memory, common practice. */
final class Titanate {
  /**
   * A straight line through usual end voltages. Slope: titanate is flat, so that between its two
   * ends a layered oxide alone slopes, in soft steps; at either end the voltage leaves within a few
   * percent, at the top where titanate is the smaller electrode.
   */
  private static final OpenCircuit CURVE =
      new OpenCircuit(
          z -> 1.5 + 1.15 * z,
          0.2,
          0.020,
          new double[][] {
            {1900, 8, 300}, {2200, 2, 200}, {2450, 1, 80}, {Double.POSITIVE_INFINITY, 1, 200}
          },
          new double[0][],
          Double.NaN,
          List.of(),
          "a straight line through usual end voltages, widened; from memory");

  static final CellSheet SHEET =
      new CellSheet(
          new Levels(
              new CellLimits(2800, 2700, 2650, 2550, 2350, 1800, 1500),
              2750,
              Plateau.none(2075, 2350),
              List.of(2200, 2350),
              CellSheet.PRACTICE),
          CURVE,
          new Knee(
              Knee.even(2.24, 2.86),
              new double[] {2.24, 2.35, 2.42, 2.50, 2.60, 2.86},
              new double[] {0.5, 0.4, 0.25, 0.10, 0.04, 0.015},
              new double[] {0.8, 0.8, 0.8, 0.7, 0.7, 0.7}),
          new ByTemperature(
              -20,
              -30,
              CellSheet.PRACTICE,
              List.of(),
              new Reason("These cells tolerate more cold than graphite does.", CellSheet.PRACTICE),
              new Reason("Heat ages cells at the top.", CellSheet.PRACTICE),
              CellSheet.PRACTICE,
              CellSheet.PRACTICE));

  private Titanate() {}
}
