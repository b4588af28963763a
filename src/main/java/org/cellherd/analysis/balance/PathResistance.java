package org.cellherd.analysis.balance;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.cell.Arrhenius;
import org.cellherd.analysis.flow.CellTemperatures;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * What a steady current adds to the voltages: the resistance of a usual cell some minutes after the
 * current began, and by how much each cell with its strap differs from it, seen at starts of
 * current on the plateau and where cells come to rest on it after a charge. Until one was seen, 0.1
 * ohm Ah over the capacity (large iron-phosphate cells, common practice, no source), believed
 * within a half, and no difference between cells.
 */
final class PathResistance {
  private static final double OHM_AH = 0.1;
  private static final long SETTLE_MS = 5 * 60_000L;
  private static final int KEPT = 8;

  private final CellTemperatures sensors;
  private final double usualOhm;
  private final double leastStepMa;
  private final int topTenthMv;
  private final int bottomTenthMv;
  private final int[] rest;
  private final double[] beyondOhm;
  private final int[] seenOf;
  private final int plateauTenthMv;
  private long startUpMs = -1;
  private boolean isStop;
  private int restCurrentMa;
  private double meanOhm;
  private int seen;
  private double cold = 1;
  private double errorOhm;

  PathResistance(PackPlan plan, AnalysisSettings settings) {
    int cells = plan.series();
    sensors = new CellTemperatures(plan);
    usualOhm = OHM_AH / plan.ratedAh();
    leastStepMa = Math.max(2000, plan.ratedAh() * 1000 * 0.05);
    topTenthMv = settings.kneeMv() * 10;
    bottomTenthMv = settings.lowKneeMv() * 10;
    rest = new int[cells];
    beyondOhm = new double[cells];
    seenOf = new int[cells];
    plateauTenthMv = settings.blindToMv() * 10;
  }

  /** Takes the latest reading; true when it has taught something. */
  boolean accept(Moment m) {
    m.reading().ifPresent(this::feel);
    int now = m.currentMa();
    int before = m.currentBeforeMa();
    if (!m.isJoined() || now == Moment.MISSING || before == Moment.MISSING) {
      startUpMs = -1;
      return false;
    }
    if (Math.abs(now - before) >= leastStepMa && !m.isComplete()) {
      startUpMs = -1;
    } else if (Math.abs(now - before) >= leastStepMa) {
      start(m, before);
    } else if (startUpMs >= 0 && m.upMs() - startUpMs >= SETTLE_MS) {
      return finish(m);
    }
    return false;
  }

  /** The table value is one of room temperature. */
  private void feel(Reading reading) {
    int tenthC = sensors.mean(reading.temperatures());
    if (tenthC != CellTemperatures.MISSING) {
      cold = Math.max(1, Arrhenius.factor(tenthC / 10.0, Arrhenius.MOST));
    }
  }

  private void start(Moment m, int before) {
    boolean isStart = before == 0 && m.highest() < topTenthMv;
    isStop = before > 0 && m.flowingMa() == 0;
    boolean isWhole = true;
    for (int i = 0; i < rest.length; i++) {
      rest[i] = m.cellBefore(i + 1);
      // Where the curve is steep, what a cell takes moves it more than its resistance does.
      isWhole &= rest[i] != Moment.MISSING && rest[i] > bottomTenthMv;
    }
    startUpMs = isWhole && (isStart || isStop) ? m.upMs() : -1;
    restCurrentMa = before;
  }

  private boolean finish(Moment m) {
    startUpMs = -1;
    int step = m.currentMa() - restCurrentMa;
    boolean isHigh = !isStop && m.highest() >= topTenthMv;
    if (Math.abs(step) < leastStepMa || !m.isComplete() || isHigh) {
      return false;
    }
    double mean = 0;
    int counted = 0;
    for (int i = 0; i < rest.length; i++) {
      mean += counts(m, i) ? ohm(m, i, step) : 0;
      counted += counts(m, i) ? 1 : 0;
    }
    mean /= counted;
    if (counted < 2 || !(mean > usualOhm / 20 && mean < usualOhm * 20)) {
      return false;
    }
    learn(m, step, mean);
    return true;
  }

  /** After a stop at the top only cells that came to rest on their plateau tell resistance. */
  private boolean counts(Moment m, int cell) {
    return !isStop || m.cell(cell + 1) <= plateauTenthMv;
  }

  private double ohm(Moment m, int cell, int step) {
    return (m.cell(cell + 1) - rest[cell]) / 10.0 / step;
  }

  private void learn(Moment m, int step, double mean) {
    seen = Math.min(KEPT, seen + 1);
    meanOhm += (mean - meanOhm) / seen;
    for (int i = 0; i < rest.length; i++) {
      if (counts(m, i)) {
        seenOf[i] = Math.min(KEPT, seenOf[i] + 1);
        beyondOhm[i] += (ohm(m, i, step) - mean - beyondOhm[i]) / seenOf[i];
      }
    }
    double error = AnalysisSettings.BOARD_FLOOR_MV / (double) Math.abs(step);
    errorOhm += (error - errorOhm) / seen;
  }

  /** By how many ohm a cell, by index, is above the usual one. */
  double beyondOhm(int cell) {
    return beyondOhm[cell];
  }

  /**
   * What a cell, by index, may have beyond what was seen of it: as much as a usual one while no
   * step of current was seen of it, and then what the readings of that step may have been off by.
   */
  double unseenOhm(int cell) {
    return seenOf[cell] > 0 ? errorOhm : seen > 0 ? meanOhm : usualOhm * cold;
  }

  /** By how many ohm a cell, by index, may be above the usual one at the most. */
  double mostBeyondOhm(int cell) {
    return Math.max(0, beyondOhm[cell]) + unseenOhm(cell);
  }

  /** Ohm of a usual cell, some minutes after a step. */
  double ohm() {
    return seen == 0 ? usualOhm * Math.sqrt(cold) : meanOhm;
  }

  /** The most that a cell, by index, may well have. */
  double mostOhm(int cell) {
    return ohm() + halfOhm() + mostBeyondOhm(cell);
  }

  /** How far off that may be, ohm. */
  double halfOhm() {
    return ohm() * (seen == 0 ? 0.6 : 0.35);
  }

  Estimate estimate() {
    return new Estimate(ohm(), halfOhm());
  }

  void state(State io) {
    startUpMs = io.number(startUpMs);
    restCurrentMa = io.number(restCurrentMa);
    meanOhm = io.number(meanOhm);
    seen = io.number(seen);
    cold = io.number(cold);
    errorOhm = io.number(errorOhm);
    isStop = io.flag(isStop);
    io.each(rest);
    io.each(beyondOhm);
    io.each(seenOf);
  }
}
