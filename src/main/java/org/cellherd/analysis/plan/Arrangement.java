package org.cellherd.analysis.plan;

import org.cellherd.pack.Chemistry;

/**
 * How cells are put together.
 *
 * @param series groups in series
 * @param parallel cells in each group
 * @param cellMah rated capacity of one cell, mAh
 */
public record Arrangement(int series, int parallel, long cellMah) {

  /** Refuses an arrangement that cannot be. */
  public Arrangement {
    if (series < 1 || parallel < 1 || cellMah < 1) {
      throw new IllegalArgumentException(series + "S" + parallel + "P of " + cellMah + " mAh");
    }
  }

  /** Cells in all. */
  public int cells() {
    return series * parallel;
  }

  /** Rated capacity of the pack, mAh. */
  public long packMah() {
    return parallel * cellMah;
  }

  /** Nominal voltage of the pack, mV. */
  public int nominalMv(Chemistry chemistry) {
    return series * chemistry.limits().nominalMv();
  }

  /**
   * The same cells with another number of groups in series.
   *
   * @throws IllegalArgumentException when the cells cannot be divided so
   */
  public Arrangement regrouped(int newSeries) {
    if (newSeries < 1 || cells() % newSeries != 0) {
      throw new IllegalArgumentException(
          cells() + " cells cannot be divided into " + newSeries + " groups");
    }
    return new Arrangement(newSeries, cells() / newSeries, cellMah);
  }

  /** Greatest continuous current that the cells allow, mA, from one cell's rating. */
  public long continuousMa(int cellContinuousMa) {
    return (long) parallel * cellContinuousMa;
  }
}
