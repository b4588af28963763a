package org.cellherd.analysis.flow;

import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Ring;

/**
 * Mean currents printed over rests. With the discharge switch open nothing can flow and the print
 * is the offset; else it is the offset, or a small load, or some of both, so that the offset lies
 * between 0 and the print. Belongs to one thread.
 */
final class RestCurrents {
  private static final long LEAST_MS = 600_000;
  private static final int KEPT = 3;

  /** A mean of many prints in steps of 0.01 to 0.1 A is right to about a centiampere. */
  static final double ERROR_A = 0.01;

  private final double[] kept = new double[KEPT];
  private final Ring rests = new Ring(KEPT);
  private double openA = Double.NaN;
  private double sumMaMs;
  private long lengthMs;
  private boolean isOpen;

  void add(Moment moment, boolean open) {
    if (open != isOpen || !moment.isJoined()) {
      end();
    }
    isOpen = open;
    if (moment.isJoined() && moment.stepMs() > 0) {
      sumMaMs += (double) moment.currentMa() * moment.stepMs();
      lengthMs += moment.stepMs();
    }
  }

  /** True while there is something for {@link #end} to end. */
  boolean isGoingOn() {
    return lengthMs > 0;
  }

  void end() {
    if (lengthMs >= LEAST_MS) {
      double mean = sumMaMs / lengthMs / 1000;
      if (isOpen) {
        openA = mean;
      }
      kept[rests.next()] = mean;
    }
    sumMaMs = 0;
    lengthMs = 0;
  }

  /**
   * True when each rest printed about nothing, by a board that prints small currents: a load that
   * the offset just hides is unlikely.
   */
  boolean isQuiet(double zoneA) {
    int known = known();
    boolean isQuiet = known > 0 && zoneA <= 2 * ERROR_A;
    for (int i = 0; i < known; i++) {
      isQuiet &= Math.abs(mean(i)) <= ERROR_A;
    }
    return isQuiet;
  }

  /** True when a rest with the discharge switch open was seen. */
  boolean isOpenSeen() {
    return !Double.isNaN(openA) && openA != 0;
  }

  Interval offsetA(double zoneA, double mostA) {
    if (isOpenSeen()) {
      return new Interval(openA - ERROR_A, openA, openA + ERROR_A);
    }
    int known = known();
    if (known == 0) {
      return new Interval(-mostA, 0, mostA);
    }
    double low = 0;
    double high = 0;
    for (int i = 0; i < known; i++) {
      double mean = mean(i);
      // 0 printed is anything that the zone hides
      double hidden = mean == 0 ? Math.min(zoneA, mostA) : ERROR_A;
      low = Math.min(low, mean - hidden);
      high = Math.max(high, mean + hidden);
    }
    return new Interval(low, (low + high) / 2, high);
  }

  /** Rests that are kept, and the one that goes on when it is long enough. */
  private int known() {
    return rests.size() + (lengthMs < LEAST_MS ? 0 : 1);
  }

  private double mean(int i) {
    return i < rests.size() ? kept[i] : sumMaMs / lengthMs / 1000;
  }

  Optional<Double> latestA() {
    return rests.size() == 0 ? Optional.empty() : Optional.of(kept[rests.newest(0)]);
  }

  void state(State io) {
    io.each(kept);
    rests.state(io);
    openA = io.number(openA);
    sumMaMs = io.number(sumMaMs);
    lengthMs = io.number(lengthMs);
    isOpen = io.flag(isOpen);
  }
}
