package org.cellherd.pack;

import java.util.Arrays;
import java.util.OptionalInt;
import org.jspecify.annotations.Nullable;

/**
 * The cells' voltages of one reading in 0.1 mV, numbered from 1. A cell may be missing. Immutable.
 */
public final class CellVoltages {

  public static final CellVoltages NONE = new CellVoltages(new int[0]);

  private static final int MISSING = Integer.MIN_VALUE;

  /** No cell that lives stands so low. */
  private static final int PADDING_TENTH_MV = 500;

  private final int[] tenthMv;

  /** Worked out when first asked for; the same whoever does it. */
  private @Nullable OptionalInt median;

  private CellVoltages(int[] tenthMv) {
    this.tenthMv = tenthMv;
  }

  /**
   * Voltages in 0.1 mV, first cell first.
   *
   * @throws IllegalArgumentException when there are more than {@link Channel#MAX_NUMBER}
   */
  public static CellVoltages ofTenthMv(int... values) {
    if (values.length > Channel.MAX_NUMBER) {
      throw new IllegalArgumentException(values.length + " cells, most " + Channel.MAX_NUMBER);
    }
    return new CellVoltages(values.clone());
  }

  /** Voltages in mV, first cell first. */
  public static CellVoltages ofMv(int... millivolts) {
    return ofTenthMv(Arrays.stream(millivolts).map(mv -> mv * 10).toArray());
  }

  /** Voltages in 0.1 mV where an empty value is a missing cell. */
  public static CellVoltages ofOptional(OptionalInt... values) {
    return ofTenthMv(Arrays.stream(values).mapToInt(v -> v.orElse(MISSING)).toArray());
  }

  /** Highest cell number, missing cells counted. */
  public int count() {
    return tenthMv.length;
  }

  /**
   * Cells that a board told of, where a plan has so many in series: inputs beyond them that read
   * nothing, or next to 0 V, are padding.
   */
  public int countWithoutPadding(int series) {
    int told = count();
    while (told > series && (!has(told) || Math.abs(tenthMv(told)) < PADDING_TENTH_MV)) {
      told--;
    }
    return told;
  }

  /** The cells up to this number, missing where there are fewer. */
  public CellVoltages first(int number) {
    int[] kept = Arrays.copyOf(tenthMv, number);
    Arrays.fill(kept, Math.min(number, tenthMv.length), number, MISSING);
    return new CellVoltages(kept);
  }

  /**
   * Writes them out, 0.1 mV, first cell first: as many as fit, {@link Integer#MIN_VALUE} where one
   * is missing, for those that look at all cells of each reading.
   */
  public void copyTo(int[] into) {
    int here = Math.min(tenthMv.length, into.length);
    System.arraycopy(tenthMv, 0, into, 0, here);
    Arrays.fill(into, here, into.length, MISSING);
  }

  /** True when this cell has a voltage. */
  public boolean has(int cell) {
    return cell >= 1 && cell <= tenthMv.length && tenthMv[cell - 1] != MISSING;
  }

  /** True when there is at least one cell and none is missing. */
  public boolean isComplete() {
    for (int v : tenthMv) {
      if (v == MISSING) {
        return false;
      }
    }
    return tenthMv.length > 0;
  }

  /**
   * Voltage of a cell in 0.1 mV.
   *
   * @throws IllegalArgumentException when the cell is missing: ask {@link #has} first
   */
  public int tenthMv(int cell) {
    if (!has(cell)) {
      throw new IllegalArgumentException("cell " + cell + " has no reading");
    }
    return tenthMv[cell - 1];
  }

  /** Voltage of a cell in mV, with its tenth; see {@link #tenthMv}. */
  public double mv(int cell) {
    return tenthMv(cell) / 10.0;
  }

  /** Number of the highest cell, 0 when no cell has a voltage; the first of equals. */
  public int highestCell() {
    int best = 0;
    for (int cell = 1; cell <= tenthMv.length; cell++) {
      if (has(cell) && (best == 0 || tenthMv[cell - 1] > tenthMv[best - 1])) {
        best = cell;
      }
    }
    return best;
  }

  /** Number of the lowest cell, 0 when no cell has a voltage; the first of equals. */
  public int lowestCell() {
    int best = 0;
    for (int cell = 1; cell <= tenthMv.length; cell++) {
      if (has(cell) && (best == 0 || tenthMv[cell - 1] < tenthMv[best - 1])) {
        best = cell;
      }
    }
    return best;
  }

  /** Highest minus lowest cell in 0.1 mV; empty below two cells. */
  public OptionalInt spreadTenthMv() {
    int high = highestCell();
    int low = lowestCell();
    if (high == 0 || presentCount() < 2) {
      return OptionalInt.empty();
    }
    return OptionalInt.of(tenthMv[high - 1] - tenthMv[low - 1]);
  }

  /**
   * Median of the present cells in mV.
   *
   * @throws java.util.NoSuchElementException when no cell has a voltage
   */
  public double medianMv() {
    return medianTenthMv().orElseThrow() / 10.0;
  }

  /**
   * Median of the present cells in 0.1 mV (mean of the middle two, rounded down); empty if none.
   */
  public OptionalInt medianTenthMv() {
    OptionalInt known = median;
    if (known == null) {
      known = sortedMedian();
      median = known;
    }
    return known;
  }

  private OptionalInt sortedMedian() {
    int[] sorted = tenthMv.clone();
    Arrays.sort(sorted);
    int present = presentCount();
    if (present == 0) {
      return OptionalInt.empty();
    }
    // What is missing comes first: it is less than any voltage.
    int middle = sorted.length - present + present / 2;
    return OptionalInt.of(
        present % 2 == 1 ? sorted[middle] : Math.floorDiv(sorted[middle - 1] + sorted[middle], 2));
  }

  /** Sum of all cells in 0.1 mV; empty unless complete. */
  public OptionalInt sumTenthMv() {
    if (!isComplete()) {
      return OptionalInt.empty();
    }
    int sum = 0;
    for (int v : tenthMv) {
      sum += v;
    }
    return OptionalInt.of(sum);
  }

  public int presentCount() {
    int n = 0;
    for (int v : tenthMv) {
      if (v != MISSING) {
        n++;
      }
    }
    return n;
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof CellVoltages that && Arrays.equals(tenthMv, that.tenthMv);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(tenthMv);
  }

  @Override
  public String toString() {
    StringBuilder text = new StringBuilder("CellVoltages[");
    for (int cell = 1; cell <= tenthMv.length; cell++) {
      text.append(cell == 1 ? "" : " ").append(has(cell) ? tenthMv[cell - 1] : "-");
    }
    return text.append("] 0.1 mV").toString();
  }
}
