package org.cellherd.analysis.balance;

import java.util.Arrays;
import org.cellherd.analysis.estimate.BleedPull;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;

/**
 * The cells' voltages over one minute, free of what bleeding does to them: a bleeding cell reads
 * low by the drop in its leads, its neighbours high. Where it is seen which cells bleed, samples
 * without are averaged, or all of them with the pull undone when there are none; where it is not,
 * the highest mean of 5 s counts, since odd and even cells take turns.
 */
final class MinuteBlock {
  private static final long BLOCK_MS = 60_000;
  private static final long SLOT_MS = 5_000;

  /** At the top a cell stands still against the others; more than this is bleeding, ill undone. */
  private static final double CLEAR_MV = 8;

  private final int cells;
  private final long[] slotSum;
  private final int[] slotCount;
  private final long[] cleanSum;
  private final int[] cleanCount;
  private final double[] correctedSum;
  private final int[] correctedCount;
  private final double[] slotCorrected;
  private final double[] lowest;
  private final double[] highest;
  private final double[] best;
  private final double[] mv;
  private final double[] sorted;
  private double median = Double.NaN;
  private long blockFromMs = -1;
  private long slotFromMs;
  private double currentSum;
  private int readings;
  private boolean moves;
  private double meanCurrent;
  private long closedUpMs;
  private boolean hasMoved;
  private boolean isClear;

  MinuteBlock(int cells) {
    this.cells = cells;
    slotSum = new long[cells];
    slotCount = new int[cells];
    cleanSum = new long[cells];
    cleanCount = new int[cells];
    correctedSum = new double[cells];
    correctedCount = new int[cells];
    slotCorrected = new double[cells];
    lowest = new double[cells];
    highest = new double[cells];
    best = new double[cells];
    mv = new double[cells];
    sorted = new double[cells];
  }

  /** Takes the latest reading; true when a minute was completed by the readings before it. */
  boolean accept(Moment m, BleedPull pull) {
    boolean isFull = false;
    long now = m.upMs();
    if (blockFromMs < 0 || !m.isJoined()) {
      begin(now);
    } else {
      if (now - slotFromMs >= SLOT_MS) {
        closeSlot(now);
      }
      if (now - blockFromMs >= BLOCK_MS) {
        isFull = closeBlock(now, pull);
        begin(now);
      }
    }
    add(m, pull);
    return isFull;
  }

  private void begin(long now) {
    blockFromMs = now;
    slotFromMs = now;
    currentSum = 0;
    readings = 0;
    moves = false;
    Arrays.fill(slotSum, 0);
    Arrays.fill(slotCount, 0);
    Arrays.fill(cleanSum, 0);
    Arrays.fill(cleanCount, 0);
    Arrays.fill(correctedSum, 0);
    Arrays.fill(correctedCount, 0);
    Arrays.fill(slotCorrected, 0);
    Arrays.fill(lowest, Double.POSITIVE_INFINITY);
    Arrays.fill(highest, Double.NEGATIVE_INFINITY);
    Arrays.fill(best, -1);
  }

  private void add(Moment m, BleedPull pull) {
    boolean isPulling = pull.isPulling();
    for (int i = 0; i < cells; i++) {
      int v = m.cell(i + 1);
      if (v == Moment.MISSING) {
        continue;
      }
      moves |= v != m.cellBefore(i + 1);
      slotSum[i] += v;
      slotCount[i]++;
      double corrected = isPulling ? v / 10.0 + pull.correction(i) : v / 10.0;
      slotCorrected[i] += corrected;
      correctedSum[i] += corrected;
      correctedCount[i]++;
      if (!isPulling || !pull.isPulled(i)) {
        cleanSum[i] += v;
        cleanCount[i]++;
      }
    }
    currentSum += m.currentMa() == Moment.MISSING ? 0 : m.currentMa();
    readings++;
  }

  private void closeSlot(long now) {
    double mean = slotMean();
    for (int i = 0; i < cells; i++) {
      if (slotCount[i] > 0) {
        double level = slotSum[i] / (10.0 * slotCount[i]);
        double apart = slotCorrected[i] - mean;
        best[i] = level > best[i] ? level : best[i];
        lowest[i] = apart < lowest[i] ? apart : lowest[i];
        highest[i] = apart > highest[i] ? apart : highest[i];
      }
    }
    Arrays.fill(slotCorrected, 0);
    Arrays.fill(slotSum, 0);
    Arrays.fill(slotCount, 0);
    slotFromMs = now;
  }

  /**
   * Makes each cell's sum its mean over the slot.
   *
   * @return the mean of all cells, so that what moves all of them alike falls out
   */
  private double slotMean() {
    double sum = 0;
    int n = 0;
    for (int i = 0; i < cells; i++) {
      if (slotCount[i] > 0) {
        slotCorrected[i] = slotCount[i] == 1 ? slotCorrected[i] : slotCorrected[i] / slotCount[i];
        sum += slotCorrected[i];
        n++;
      }
    }
    return n == 0 ? 0 : sum / n;
  }

  private boolean isClearNow() {
    for (int i = 0; i < cells; i++) {
      if (highest[i] - lowest[i] > CLEAR_MV) {
        return false;
      }
    }
    return true;
  }

  private boolean closeBlock(long now, BleedPull pull) {
    median = Double.NaN;
    boolean isSeen = pull.isKnown() || pull.mask() != 0;
    for (int i = 0; i < cells; i++) {
      if (best[i] < 0) {
        return false;
      }
      mv[i] = isSeen ? undone(i) : best[i];
    }
    meanCurrent = currentSum / readings / 1000;
    closedUpMs = now;
    hasMoved = moves;
    isClear = isClearNow();
    return true;
  }

  private double undone(int i) {
    return cleanCount[i] > 0
        ? cleanSum[i] / (10.0 * cleanCount[i])
        : correctedSum[i] / correctedCount[i];
  }

  /** Voltage of a cell from index 0 in the latest full minute, mV. */
  double mv(int i) {
    return mv[i];
  }

  /** Index of the highest cell of that minute. */
  int highest() {
    int best = 0;
    for (int i = 1; i < cells; i++) {
      best = mv[i] > mv[best] ? i : best;
    }
    return best;
  }

  /** Index of the lowest cell of that minute. */
  int lowest() {
    int best = 0;
    for (int i = 1; i < cells; i++) {
      best = mv[i] < mv[best] ? i : best;
    }
    return best;
  }

  double highestMv() {
    return mv[highest()];
  }

  double lowestMv() {
    return mv[lowest()];
  }

  double spread() {
    return mv[highest()] - mv[lowest()];
  }

  /** Mean of the middle two, or the middle one. */
  double median() {
    if (Double.isNaN(median)) {
      System.arraycopy(mv, 0, sorted, 0, cells);
      Arrays.sort(sorted);
      median = (sorted[(cells - 1) / 2] + sorted[cells / 2]) / 2;
    }
    return median;
  }

  /** A copy of all cells, mV. */
  double[] all() {
    return mv.clone();
  }

  double mean() {
    double sum = 0;
    for (double v : mv) {
      sum += v;
    }
    return sum / cells;
  }

  /** Mean current of that minute, A. */
  double meanCurrent() {
    return meanCurrent;
  }

  /**
   * True when that minute tells something: the number of some cell changed, and no cell went to and
   * fro against the others.
   */
  boolean isTelling() {
    return hasMoved && isClear;
  }

  /** When it ended, fold time. */
  long closedUpMs() {
    return closedUpMs;
  }

  void state(State io) {
    median = Double.NaN;
    blockFromMs = io.number(blockFromMs);
    slotFromMs = io.number(slotFromMs);
    currentSum = io.number(currentSum);
    readings = io.number(readings);
    meanCurrent = io.number(meanCurrent);
    closedUpMs = io.number(closedUpMs);
    moves = io.flag(moves);
    hasMoved = io.flag(hasMoved);
    isClear = io.flag(isClear);
    io.each(slotSum);
    io.each(cleanSum);
    io.each(correctedSum);
    io.each(slotCorrected);
    io.each(lowest);
    io.each(highest);
    io.each(best);
    io.each(mv);
    io.each(slotCount);
    io.each(cleanCount);
    io.each(correctedCount);
  }
}
