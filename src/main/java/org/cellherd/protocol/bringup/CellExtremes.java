package org.cellherd.protocol.bringup;

import java.util.Arrays;
import java.util.List;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;

/**
 * The highest, the lowest and the mean cell at each message of a kind: boards tell them once more.
 */
final class CellExtremes {
  private static final int TEN = 10;

  private final CellRows cells;
  private final List<Sample> samples;
  private final double[] highest;
  private final double[] lowest;
  private final double[] sums;
  private final int count;

  CellExtremes(CellRows cells, List<CellRows.Row> rows, Stretch kind) {
    this.cells = cells;
    this.samples = kind.samples();
    this.highest = new double[samples.size()];
    this.lowest = new double[samples.size()];
    this.sums = new double[samples.size()];
    this.count = rows.stream().mapToInt(CellRows.Row::count).sum();
    Arrays.fill(lowest, Double.POSITIVE_INFINITY);
    for (CellRows.Row row : rows) {
      List<Sample> own = cells.kind(row).samples();
      int[] partners = cells.kind(row).partnersOf(kind);
      for (int i = 0; i < highest.length; i++) {
        for (int rank = 0; partners[i] >= 0 && rank < row.count(); rank++) {
          double mv = cells.mv(own.get(partners[i]), row.at(), rank);
          highest[i] = Math.max(highest[i], mv);
          lowest[i] = Math.min(lowest[i], mv);
          sums[i] += mv;
        }
      }
    }
  }

  /**
   * True when all of some values in a row mostly are the highest and the lowest cell, each of them
   * told: two coarse cells are often as high as the highest.
   */
  boolean are(int at, int count) {
    long same = IntStream.range(0, samples.size()).filter(i -> are(i, at, count)).count();
    return same * 2 > samples.size();
  }

  private boolean are(int message, int at, int count) {
    double[] told =
        IntStream.range(0, count)
            .mapToDouble(rank -> cells.mv(samples.get(message), at, rank))
            .toArray();
    double high = highest[message];
    double low = lowest[message];
    return DoubleStream.of(told).allMatch(mv -> mv == high || mv == low || isMean(message, mv))
        && DoubleStream.of(told).anyMatch(mv -> mv == high)
        && DoubleStream.of(told).anyMatch(mv -> mv == low);
  }

  /** True of the voltage of ten cells in 10 mV, cut off or rounded. */
  private boolean isMean(int message, double mv) {
    return count == TEN && Math.abs(mv - sums[message] / TEN) <= 1;
  }
}
