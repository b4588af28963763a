package org.cellherd.protocol.bringup;

import java.util.Arrays;
import java.util.DoubleSummaryStatistics;
import java.util.List;
import java.util.stream.Stream;
import org.cellherd.protocol.bringup.CellRows.Row;

/** Values beside a row of cells that only sum it up. */
final class CellSummaries {
  /**
   * A rounded mean of rounded cells lies so near to theirs, units; a cell of its own does not stay.
   */
  private static final double ROUNDED = 0.6;

  /** The mean of rounded cells lies so far from that of the cells, units. */
  private static final double SLACK = 0.1;

  /** Values that sum cells up: highest, lowest, mean. */
  private static final int MOST_SUMMARIES = 3;

  private final CellRows cells;
  private final List<Sample> some;

  CellSummaries(CellRows cells, List<Sample> some) {
    this.cells = cells;
    this.some = some;
  }

  /**
   * Without what only sums the cells up at an end of the row: the highest, the lowest, the mean,
   * which the voltage of ten cells in 10 mV looks like.
   */
  Row without(Row row) {
    for (int n = Math.min(MOST_SUMMARIES, row.count() - CellRows.FEWEST_CELLS); n > 0; n--) {
      Row front = new Row(row.kind(), row.at(), row.count() - n);
      if (isSummary(row, front, front.count(), n)) {
        return front;
      }
      int width = cells.code().isPacked() ? 0 : cells.code().span(n);
      Row back = new Row(row.kind(), row.at() + width, row.count() - n);
      if (width > 0 && isSummary(row, back, 0, n)) {
        return back;
      }
    }
    return row;
  }

  /**
   * True when some values of a row are in nearly every message highest, lowest or mean of cells:
   * the mean rounded in all of them, or cut off in all, as where the first bits of a pack's voltage
   * stand behind as many packed cells as these bits leave out.
   */
  private boolean isSummary(Row row, Row own, int from, int count) {
    double unit = Math.min(1, cells.unitMv());
    return Stream.of(new double[] {-ROUNDED, ROUNDED}, new double[] {-SLACK, 1 + SLACK})
        .anyMatch(
            below -> {
              long summed =
                  some.stream()
                      .filter(
                          s ->
                              isSummary(s, row, own, from, count, below[0] * unit, below[1] * unit))
                      .count();
              return Stretch.nearlyAll(summed, some.size());
            });
  }

  /** Extremes, or so much below the mean, mV. */
  private boolean isSummary(
      Sample sample, Row row, Row own, int from, int count, double least, double most) {
    double[] mv = new double[own.count()];
    Arrays.setAll(mv, i -> cells.mv(sample, own.at(), i));
    DoubleSummaryStatistics all = Arrays.stream(mv).summaryStatistics();
    for (int rank = from; rank < from + count; rank++) {
      double value = cells.mv(sample, row.at(), rank);
      boolean isExtreme = value == all.getMax() || value == all.getMin();
      double below = all.getAverage() - value;
      if (!isExtreme && !(below >= least && below <= most)) {
        return false;
      }
    }
    return true;
  }
}
