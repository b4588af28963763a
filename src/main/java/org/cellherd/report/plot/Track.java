package org.cellherd.report.plot;

import java.util.Arrays;

/**
 * One quantity over time in equal columns: lowest, mean and highest value of each. A column without
 * readings has none. Filled by one thread, then only read.
 */
public final class Track {

  private final double[] low;
  private final double[] sum;
  private final double[] high;
  private final double[] weight;

  public Track(int columns) {
    low = new double[columns];
    sum = new double[columns];
    high = new double[columns];
    weight = new double[columns];
    Arrays.fill(low, Double.POSITIVE_INFINITY);
    Arrays.fill(high, Double.NEGATIVE_INFINITY);
  }

  void add(int column, double lowest, double mean, double highest, double count) {
    low[column] = Math.min(low[column], lowest);
    high[column] = Math.max(high[column], highest);
    sum[column] += mean * count;
    weight[column] += count;
  }

  public int columns() {
    return weight.length;
  }

  /** True when a column holds readings. */
  public boolean has(int column) {
    return weight[column] > 0;
  }

  /** Lowest value; ask {@link #has} first. */
  public double low(int column) {
    return low[column];
  }

  /** Mean; ask {@link #has} first. */
  public double mean(int column) {
    return sum[column] / weight[column];
  }

  /** Highest value; ask {@link #has} first. */
  public double high(int column) {
    return high[column];
  }

  /** The last column with readings, or -1. */
  public int last() {
    for (int column = columns() - 1; column >= 0; column--) {
      if (has(column)) {
        return column;
      }
    }
    return -1;
  }

  /** Lowest of all; positive infinity without readings. */
  public double lowest() {
    return Arrays.stream(low).min().orElse(Double.POSITIVE_INFINITY);
  }

  /** Highest of all; negative infinity without readings. */
  public double highest() {
    return Arrays.stream(high).max().orElse(Double.NEGATIVE_INFINITY);
  }

  /** Mean of all columns; NaN without readings. */
  public double overallMean() {
    return Arrays.stream(sum).sum() / Arrays.stream(weight).sum();
  }
}
