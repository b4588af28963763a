package org.cellherd.analysis.flow;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;

/**
 * State of charge counted from the latest top, for statistics of days and cycles that need a single
 * number; unknown before the first top. Belongs to one thread.
 */
public final class CountedCharge {
  /**
   * Used cells hold less than their label: cells below it are hardly used again (common practice,
   * no source); new ones hold a little more.
   */
  private static final double LEAST_OF_RATED = 0.6;

  private static final double MOST_OF_RATED = 1.03;

  /** So much of the capacity may be drawn from a full pack that still counts as full. */
  private static final double NEARLY_FULL = 0.01;

  private final Flow flow;
  private final ChargeEnd top;
  private Interval capacityAh;
  private long net;
  private boolean isAtTop;
  private boolean isFull;
  private boolean isCounted;

  /** Counts the readings of a moment; the rated capacity holds until another is told. */
  public CountedCharge(PackPlan plan, AnalysisSettings settings, Moment moment) {
    flow = new Flow(plan, moment);
    top = new ChargeEnd(plan, settings, moment);
    capacityAh = usualAh(plan.ratedAh());
  }

  /** What cells of so many rated Ah may hold where nothing was measured, Ah. */
  public static Interval usualAh(double ratedAh) {
    return new Interval(LEAST_OF_RATED * ratedAh, ratedAh, MOST_OF_RATED * ratedAh);
  }

  /** Looks at the latest entry; true when something could be counted over the step to it. */
  public boolean accept(LogEntry entry) {
    isCounted = flow.accept(entry);
    if (isCounted) {
      net += flow.amounts().charged() - flow.amounts().discharged();
    }
    isAtTop = top.accept(entry);
    if (isAtTop) {
      net = 0;
      isFull = true;
    } else if (isFull) {
      isFull = netAh() >= -NEARLY_FULL * capacityAh.mid();
    }
    return isCounted;
  }

  /** Uses a measured capacity from now on, Ah. */
  public void useCapacity(Interval ah) {
    if (ah.low() > 0) {
      capacityAh = ah;
    }
  }

  /** The capacity in use, Ah. */
  public Interval capacityAh() {
    return capacityAh;
  }

  /** What flowed over the latest step, when anything could be counted. */
  public Flow flow() {
    return flow;
  }

  /** The latest top. */
  public ChargeEnd top() {
    return top;
  }

  /** True when the latest reading shows the pack at its top. */
  public boolean isAtTop() {
    return isAtTop;
  }

  /** True from a top on until 1 % has been drawn; a count that crept back to 100 % is no proof. */
  public boolean isFull() {
    return isFull;
  }

  /** True once the pack has been at its top. */
  public boolean isKnown() {
    return top.kind() != ChargeTermination.NONE;
  }

  /** Charge since the top, Ah; negative after a discharge. */
  public double netAh() {
    return net / (Flow.CHARGE_PER_MAH * 1000.0);
  }

  /** State of charge, 0 to 100 %; NaN before the first top. */
  public double pct() {
    return isKnown()
        ? Math.max(0, Math.min(100, 100 + 100 * netAh() / capacityAh.mid()))
        : Double.NaN;
  }

  /** Writes the state. */
  public void state(State io) {
    flow.state(io);
    top.state(io);
    capacityAh = capacityAh.state(io);
    net = io.number(net);
    isAtTop = io.flag(isAtTop);
    isCounted = io.flag(isCounted);
    isFull = io.flag(isFull);
  }
}
