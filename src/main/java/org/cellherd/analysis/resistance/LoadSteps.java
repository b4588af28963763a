package org.cellherd.analysis.resistance;

import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Finds steps of the current: steady for 10 s, then another value by the next reading that stays
 * for at least the pulse length. Of a slow log a pulse is twice as long as its pace at least, so
 * that when the step was within a pace moves the resistance by a few percent only. In the manner of
 * the direct-current methods of IEC 61960 and 62620, with the steps that daily use brings. Belongs
 * to one thread.
 */
final class LoadSteps {
  /** Up to this pace a reading's place in the pulse is as good as known. */
  private static final long FAST_MS = 2_000;

  /** A slow log's reading may be so far from the pulse's end, a share of it. */
  private static final double NEAR = 0.2;

  private static final long MOST_EARLY_MS = 2_000;
  private static final long SETTLED_MS = 2_500;
  private static final int BEFORE = 3;
  private static final int MOST_BEFORE = 8;

  /** A cell under a steady load goes straight for so long, or until its curve bends. */
  private static final long STRAIGHT_MS = 60_000;

  private static final int AFTER = 8;

  /** Behind a pulse its cells are watched for so many times its length: what still moves them. */
  private static final int WATCHED = 6;

  /** Readings come a little late: a pulse of two paces need not be quite so long. */
  private static final double TWO_PACES = 1.8;

  private static final long MOST_PACE_MS = 75_000;
  private static final double STEADY_SHARE = 0.05;

  /** Resistance grows by so much an e-fold of the pulse (of pulses of 1 to 30 s; from memory). */
  private static final double GROWTH = 0.16;

  private final Moment moment;
  private final CellCurve curve;
  private final long ratedMah;
  private final int leastMa;
  private final long[] pulseMs;
  private final StepListener listener;

  private final Steadiness steadiness = new Steadiness();
  private final Frames recent;
  private final Frames before;
  private final Frames[] after;
  private final boolean[] isGiven;
  private final long[] sumPassedMs;
  private final long[] sumMa;
  private final CellLines[] later;
  private boolean isOpen;
  private long beginUpMs;
  private long paceMs;
  private double slope;
  private double slopeBefore;
  private int currentBefore;
  private int currentAfter;

  /** Takes what a step shows, once for each pulse length that it lasted. */
  interface StepListener {
    /**
     * Voltages before and after.
     *
     * @param pulse index of the pulse length
     * @param before voltages under the old current
     * @param after voltages under the new current
     * @param stepMa new less old current
     */
    void step(int pulse, Frames before, Frames after, int stepMa);
  }

  LoadSteps(PackPlan plan, Moment moment, int leastMa, List<Long> pulseMs, StepListener listener) {
    int series = plan.series();
    ratedMah = plan.ratedMah();
    curve = CellCurve.of(plan.chemistry());
    this.moment = moment;
    this.leastMa = leastMa;
    this.pulseMs = pulseMs.stream().mapToLong(Long::longValue).toArray();
    this.listener = listener;
    recent = Frames.newest(MOST_BEFORE, series);
    before = Frames.newest(MOST_BEFORE, series);
    after = new Frames[this.pulseMs.length];
    for (int i = 0; i < after.length; i++) {
      after[i] = Frames.first(AFTER, series);
    }
    isGiven = new boolean[after.length];
    sumPassedMs = new long[after.length];
    sumMa = new long[after.length];
    later = new CellLines[after.length];
    for (int i = 0; i < after.length; i++) {
      later[i] = new CellLines(series);
    }
  }

  /**
   * How the mean cell moved before the latest step, mV a minute: what came before goes on. 0 in a
   * fast log, whose pulses are short and many.
   */
  double slopeBefore() {
    return isSlow() ? slopeBefore : 0;
  }

  /** How the cells moved behind a pulse, from twice to six times its length. */
  CellLines later(int pulse) {
    return later[pulse];
  }

  /** From the middle of the step's pace to the readings of a pulse, s. */
  double passedS(int pulse) {
    return passedMs(pulse) / 1000;
  }

  /** When the latest step began, on the log's own clock. */
  long beginUpMs() {
    return beginUpMs;
  }

  /** The current before the latest step. */
  int currentBeforeMa() {
    return currentBefore;
  }

  /**
   * How far resistance may be off because the step came somewhere within a pace, and the readings
   * not at the pulse's end, a share of it.
   */
  double timeError(int pulse) {
    double passed = passedMs(pulse) / pulseMs[pulse];
    double half = paceMs / 2.0 / pulseMs[pulse];
    double earliest = Math.max(passed - half, half / 2);
    return GROWTH * Math.max(Math.log(passed + half), -Math.log(earliest));
  }

  /** Mean time from the middle of the step's pace to the readings behind it. */
  private double passedMs(int pulse) {
    return (double) sumPassedMs[pulse] / after[pulse].count();
  }

  void breakOff() {
    close();
    recent.clear();
    steadiness.breakOff();
  }

  void accept(Reading reading) {
    int now = moment.currentMa();
    if (now == Moment.MISSING || !moment.isComplete() || !moment.isJoined()) {
      breakOff();
      if (now == Moment.MISSING || !moment.isComplete()) {
        return;
      }
    } else if (isOpen) {
      follow(reading, now);
    }
    if (!isOpen && isStep(now)) {
      open(reading, now);
    }
    recent.add(moment, reading.packMv());
    slope = moment.meanSlopeMvPerMin();
    steadiness.accept(moment.readingUpMs(), now);
  }

  private boolean isStep(int now) {
    int last = moment.currentBeforeMa();
    if (recent.count() < BEFORE || last == Moment.MISSING || moment.stepMs() > MOST_PACE_MS) {
      return false;
    }
    long size = Math.abs((long) now - last);
    long lastUpMs = moment.readingUpMs() - moment.stepMs();
    int within = (int) (size * STEADY_SHARE);
    return size >= leastMa
        && steadiness.isSteady(lastUpMs, within)
        && recent.newestWithin(within) >= BEFORE;
  }

  private void open(Reading reading, int now) {
    isOpen = true;
    paceMs = moment.stepMs();
    slopeBefore = slope;
    beginUpMs = moment.readingUpMs() - paceMs / 2;
    currentBefore = moment.currentBeforeMa();
    currentAfter = now;
    before.copyNewest(recent, rowsBefore(Math.abs((long) now - currentBefore)));
    steadiness.breakOff();
    begin();
    Arrays.fill(isGiven, false);
    collect(reading);
  }

  /** Rows on which the voltage at the very step rests: of one current, as straight as a line. */
  private int rowsBefore(long stepMa) {
    double straight = Math.min(STRAIGHT_MS, unbentMs()) / Math.max(1, paceMs);
    int alike = recent.newestWithin((int) (stepMa * STEADY_SHARE));
    return (int) Math.max(BEFORE, Math.min(straight, alike));
  }

  /** How long the current before may flow until the curve of a cell that left its plateau bends. */
  private double unbentMs() {
    boolean isOnPlateau =
        curve.slope(moment.lowest() / 10.0).isEmpty()
            && curve.slope(moment.highest() / 10.0).isEmpty();
    double share = isOnPlateau ? 1 : StepCells.bend(curve);
    return 3.6e6 * share * ratedMah / Math.max(1, Math.abs(currentBefore));
  }

  private void follow(Reading reading, int now) {
    long step = (long) currentAfter - currentBefore;
    if (Math.abs((long) now - currentAfter) <= Math.abs(step) * STEADY_SHARE) {
      collect(reading);
      return;
    }
    boolean isSettling = moment.readingUpMs() - beginUpMs <= SETTLED_MS;
    boolean isOnward = Math.signum((float) now - currentAfter) == Math.signum((float) step);
    if (isSettling && isOnward) {
      currentAfter = now;
      begin();
      collect(reading);
    } else {
      close();
    }
  }

  private void begin() {
    for (int i = 0; i < after.length; i++) {
      after[i].clear();
      later[i].clear();
    }
    Arrays.fill(sumPassedMs, 0);
    Arrays.fill(sumMa, 0);
  }

  private void collect(Reading reading) {
    long passed = moment.readingUpMs() - beginUpMs;
    boolean isWaiting = false;
    for (int i = 0; i < after.length; i++) {
      if (passed >= fromMs(i) && (passed <= windowMs(i) || lateFirst(i, passed))) {
        if (!after[i].isFull()) {
          sumPassedMs[i] += passed;
          sumMa[i] += moment.currentMa();
        }
        after[i].add(moment, reading.packMv());
      }
      if (passed > WATCHED * pulseMs[i]) {
        give(i);
      } else if (passed >= 2 * pulseMs[i] && after[i].count() > 0) {
        later[i].add(passed / 1000.0, moment);
      }
      isWaiting |= !isGiven[i];
    }
    isOpen = isWaiting;
  }

  private boolean isSlow() {
    return paceMs > FAST_MS;
  }

  private long fromMs(int pulse) {
    boolean isTooSlow = pulseMs[pulse] < (isSlow() ? TWO_PACES * paceMs : paceMs);
    if (isTooSlow) {
      return Long.MAX_VALUE;
    }
    return isSlow()
        ? Math.round(pulseMs[pulse] * (1 - NEAR))
        : pulseMs[pulse] - Math.max(paceMs / 2, Math.min(MOST_EARLY_MS, pulseMs[pulse] / 10));
  }

  private long windowMs(int pulse) {
    return isSlow()
        ? Math.round(pulseMs[pulse] * (1 + NEAR))
        : pulseMs[pulse] + Math.min(2_000, pulseMs[pulse] / 5);
  }

  /** A log may have no reading within the window: its first one soon after will do. */
  private boolean lateFirst(int pulse, long passed) {
    return !isSlow()
        && passed >= fromMs(pulse)
        && after[pulse].count() == 0
        && !isGiven[pulse]
        && passed <= pulseMs[pulse] + Math.max(1_000, pulseMs[pulse] / 5);
  }

  private void give(int pulse) {
    int count = after[pulse].count();
    if (!isGiven[pulse] && count > 0) {
      listener.step(pulse, before, after[pulse], (int) (sumMa[pulse] / count) - currentBefore);
    }
    isGiven[pulse] = true;
  }

  private void close() {
    if (isOpen) {
      for (int i = 0; i < after.length; i++) {
        give(i);
      }
      isOpen = false;
    }
  }

  void state(State io) {
    steadiness.state(io);
    recent.state(io);
    before.state(io);
    for (int i = 0; i < after.length; i++) {
      after[i].state(io);
      isGiven[i] = io.flag(isGiven[i]);
      later[i].state(io);
    }
    io.each(sumPassedMs);
    io.each(sumMa);
    isOpen = io.flag(isOpen);
    beginUpMs = io.number(beginUpMs);
    paceMs = io.number(paceMs);
    slope = io.number(slope);
    slopeBefore = io.number(slopeBefore);
    currentBefore = io.number(currentBefore);
    currentAfter = io.number(currentAfter);
  }
}
