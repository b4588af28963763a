package org.cellherd.analysis.estimate;

/** Where each unknown stands in the filter's vector. */
record Unknowns(int cells) {
  /** Charge position of a cell, Ah. */
  int place(int cell) {
    return cell;
  }

  /** Offset of a cell's tap and converter, V. */
  int offset(int cell) {
    return cells + cell;
  }

  /** What a cell and its strap have beyond the shared resistance, ohm. */
  int excess(int cell) {
    return 2 * cells + cell;
  }

  /** Scale of a cell's curve less 1. */
  int scale(int cell) {
    return 3 * cells + cell;
  }

  /** Logarithm of an increment of the curve. */
  int increment(int j) {
    return 4 * cells + j;
  }

  /** Logarithm of shared resistance: at once, after half a minute, after 25 minutes. */
  int resistance(int lag) {
    return 4 * cells + Curve.STEPS + lag;
  }

  /** Error of the current, A. */
  int current() {
    return 4 * cells + Curve.STEPS + 3;
  }

  /** Mean current of a cell that bleeds, A. */
  int bleed() {
    return 4 * cells + Curve.STEPS + 4;
  }

  /** Error of voltage common to all cells, V. */
  int common() {
    return 4 * cells + Curve.STEPS + 5;
  }

  /** Hours of current by which the surface runs ahead of the bulk, by lag. */
  int surface(int lag) {
    return 4 * cells + Curve.STEPS + 6 + lag;
  }

  /** Error of voltage common to all cells in one block, V. */
  int moment() {
    return 4 * cells + Curve.STEPS + 8;
  }

  /** What a cell on its plateau is off by, V. */
  int plateau(int cell) {
    return 4 * cells + Curve.STEPS + 9 + cell;
  }

  int size() {
    return 5 * cells + Curve.STEPS + 9;
  }
}
