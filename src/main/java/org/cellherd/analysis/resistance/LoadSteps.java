package org.cellherd.analysis.resistance;

import java.util.List;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Reading;

/**
 * Finds steps of the current: steady for 10 s, then another value by the next reading that stays
 * for at least the pulse length. Of a slow log a pulse is twice as long as its pace at least, so
 * that when the step was within a pace moves the resistance by a few percent only. In the manner of
 * the direct-current methods of IEC 61960 and 62620, with the steps that daily use brings. Belongs
 * to one thread.
 */
final class LoadSteps {
  private static final long MOST_STEP_MS = 60_000;

  /** Up to this pace a reading's place in the pulse is as good as known. */
  private static final long FAST_MS = 2_000;

  /** A slow log's reading may be so far from the pulse's end, a share of it. */
  private static final double NEAR = 0.2;

  private static final long SETTLED_MS = 2_500;
  private static final int BEFORE = 3;
  private static final int AFTER = 8;
  private static final double STEADY_SHARE = 0.05;

  /** Resistance grows by so much an e-fold of the pulse (of pulses of 1 to 30 s; from memory). */
  private static final double GROWTH = 0.16;

  private final Moment moment;
  private final int leastMa;
  private final long[] pulseMs;
  private final StepListener listener;

  private final Steadiness steadiness = new Steadiness();
  private final Frames recent;
  private final Frames before;
  private final Frames[] after;
  private final boolean[] isGiven;
  private final long[] sumPassedMs;
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

  LoadSteps(int series, Moment moment, int leastMa, List<Long> pulseMs, StepListener listener) {
    this.moment = moment;
    this.leastMa = leastMa;
    this.pulseMs = pulseMs.stream().mapToLong(Long::longValue).toArray();
    this.listener = listener;
    recent = Frames.newest(BEFORE, series);
    before = Frames.newest(BEFORE, series);
    after = new Frames[this.pulseMs.length];
    for (int i = 0; i < after.length; i++) {
      after[i] = Frames.first(AFTER, series);
    }
    isGiven = new boolean[after.length];
    sumPassedMs = new long[after.length];
  }

  /**
   * How the mean cell moved before the latest step, mV a minute: what came before goes on. 0 in a
   * fast log, whose pulses are short and many.
   */
  double slopeBefore() {
    return isSlow() ? slopeBefore : 0;
  }

  /** When the latest step began, on the log's own clock. */
  long beginUpMs() {
    return beginUpMs;
  }

  /** The current behind the latest step. */
  int currentAfterMa() {
    return currentAfter;
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
    if (recent.count() < BEFORE || last == Moment.MISSING || moment.stepMs() > MOST_STEP_MS) {
      return false;
    }
    long size = Math.abs((long) now - last);
    long lastUpMs = moment.readingUpMs() - moment.stepMs();
    return size >= leastMa && steadiness.isSteady(lastUpMs, (int) (size * STEADY_SHARE));
  }

  private void open(Reading reading, int now) {
    isOpen = true;
    paceMs = moment.stepMs();
    slopeBefore = slope;
    beginUpMs = moment.readingUpMs() - paceMs / 2;
    currentBefore = moment.currentBeforeMa();
    currentAfter = now;
    before.copy(recent);
    steadiness.breakOff();
    for (int i = 0; i < after.length; i++) {
      after[i].clear();
      sumPassedMs[i] = 0;
      isGiven[i] = false;
    }
    collect(reading);
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
      for (int i = 0; i < after.length; i++) {
        after[i].clear();
        sumPassedMs[i] = 0;
      }
      collect(reading);
    } else {
      close();
    }
  }

  private void collect(Reading reading) {
    long passed = moment.readingUpMs() - beginUpMs;
    boolean isWaiting = false;
    for (int i = 0; i < after.length; i++) {
      long window = windowMs(i);
      if (passed >= fromMs(i) && (passed <= window || lateFirst(i, passed))) {
        sumPassedMs[i] += after[i].isFull() ? 0 : passed;
        after[i].add(moment, reading.packMv());
      } else if (passed > window) {
        give(i);
      }
      isWaiting |= !isGiven[i];
    }
    isOpen = isWaiting;
  }

  private boolean isSlow() {
    return paceMs > FAST_MS;
  }

  private long fromMs(int pulse) {
    boolean isTooSlow = pulseMs[pulse] < (isSlow() ? 2 * paceMs : paceMs);
    if (isTooSlow) {
      return Long.MAX_VALUE;
    }
    return isSlow() ? Math.round(pulseMs[pulse] * (1 - NEAR)) : pulseMs[pulse] - paceMs / 2;
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
    if (!isGiven[pulse] && after[pulse].count() > 0) {
      listener.step(pulse, before, after[pulse], currentAfter - currentBefore);
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
      sumPassedMs[i] = io.number(sumPassedMs[i]);
    }
    isOpen = io.flag(isOpen);
    beginUpMs = io.number(beginUpMs);
    paceMs = io.number(paceMs);
    slope = io.number(slope);
    slopeBefore = io.number(slopeBefore);
    currentBefore = io.number(currentBefore);
    currentAfter = io.number(currentAfter);
  }
}
