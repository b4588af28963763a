package org.cellherd.analysis.energy;

/**
 * Days that a full pack lasts without any charge. The sizing rule of stand-alone solar systems, by
 * analogy: the standards that hold it (IEEE 1562, 1013) cover lead-acid only.
 */
final class Autonomy {
  /** Share of the capacity that is used (common practice, no source). */
  static final double DEPTH = 0.8;

  /** Share of the stored energy that reaches the load (common practice, no source). */
  static final double EFFICIENCY = 0.95;

  private Autonomy() {}

  static double days(double capacityWh, double loadWhPerDay) {
    return capacityWh * DEPTH * EFFICIENCY / loadWhPerDay;
  }
}
