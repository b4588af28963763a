package org.cellherd.sim;

import java.util.Arrays;

/** Temperatures of cells in a row: own heat, heat of the strap beside, neighbours, air. */
final class CellHeat {

  /** J/K of a cell per Ah, from about 22 g/Ah and 1000 J/(kg K), from memory. */
  private static final double HEAT_PER_AH = 22;

  /** Time constant of a cell towards the air, s. */
  private static final double AIR_S = 10_800;

  /** Time constant of a cell towards a neighbour, s. */
  private static final double NEIGHBOUR_S = 3_600;

  /** Heat moves slowly; it is booked in steps of this length, s. */
  private static final double STEP_S = 10;

  private final Cell[] cells;
  private final double[] celsius;
  private final double[] next;
  private final double[] joules;
  private double pendingS;

  CellHeat(Cell[] cells, double ambientC) {
    this.cells = cells;
    this.celsius = new double[cells.length];
    this.next = new double[cells.length];
    this.joules = new double[cells.length];
    Arrays.fill(celsius, ambientC);
  }

  double celsius(int index) {
    return celsius[index];
  }

  void step(double amperes, double[] strapOhm, double seconds, double ambientC) {
    pendingS += seconds;
    if (pendingS < STEP_S) {
      return;
    }
    for (int i = 0; i < cells.length; i++) {
      double straps = (strapOhm[i] + (i + 1 < cells.length ? strapOhm[i + 1] : 0)) / 2;
      joules[i] = (cells[i].heatW() + amperes * amperes * straps) * pendingS;
    }
    spread(ambientC);
    pendingS = 0;
  }

  private void spread(double ambientC) {
    double air = 1 - Math.exp(-pendingS / AIR_S);
    double beside = 1 - Math.exp(-pendingS / NEIGHBOUR_S);
    for (int i = 0; i < cells.length; i++) {
      double flow = (ambientC - celsius[i]) * air;
      flow += i > 0 ? (celsius[i - 1] - celsius[i]) * beside : 0;
      flow += i + 1 < cells.length ? (celsius[i + 1] - celsius[i]) * beside : 0;
      next[i] = celsius[i] + flow + joules[i] / (HEAT_PER_AH * cells[i].capacityAh());
    }
    System.arraycopy(next, 0, celsius, 0, cells.length);
  }
}
