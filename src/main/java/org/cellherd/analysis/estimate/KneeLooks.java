package org.cellherd.analysis.estimate;

import java.util.Arrays;

/**
 * When the cells of a charge were last looked at in their knees, and for how long a steady leak may
 * have gone on that those looks have not shown. Sets of cells are bits, bit 0 = cell 1.
 */
final class KneeLooks {
  private final double[] hours;
  private final double[] hiddenHours;
  private long all;

  KneeLooks(int cells) {
    hours = new double[cells];
    Arrays.fill(hours, Double.NaN);
    hiddenHours = new double[cells];
  }

  /**
   * A cell, by index, is in its knee.
   *
   * @param now fold time, h
   * @param share of a steady leak since the look before that this one does not show, 0 to 1
   * @param most hours of such a leak that it leaves open
   */
  void add(int cell, double now, double share, double most) {
    if (isIn(all, cell)) {
      double hidden = hiddenHours[cell] + share * (now - hours[cell]);
      hiddenHours[cell] = Math.min(hidden, most);
    }
    hours[cell] = now;
    all |= 1L << cell;
  }

  /** Those that were in their knees at some time. */
  long all() {
    return all;
  }

  /** Those whose knees still tell where they stand. */
  long standing() {
    return all & ~fallen();
  }

  /**
   * Those that left their knees and stayed below for longer than cells relax while another was in
   * its own: by how much they fell no plateau shows, nor where a curve begins.
   */
  long fallen() {
    double latest = Arrays.stream(hours).filter(h -> !Double.isNaN(h)).max().orElse(0);
    long fallen = 0;
    for (int k = 0; k < hours.length; k++) {
      fallen |= latest - hours[k] > ErrorBudget.RELAXED_H ? 1L << k : 0;
    }
    return fallen;
  }

  /** Since when a steady leak of a cell is not known, fold time, h; NaN if it never was there. */
  double shownHours(int cell) {
    return hours[cell] - hiddenHours[cell];
  }

  static boolean isIn(long set, int cell) {
    return (set >> cell & 1) != 0;
  }
}
