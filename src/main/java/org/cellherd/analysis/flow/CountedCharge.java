package org.cellherd.analysis.flow;

import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Flow;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
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

  private final Moment moment;
  private Interval capacityAh;
  private long net;
  private boolean isFull;

  /** Counts the readings of a moment; the rated capacity holds until another is told. */
  public CountedCharge(PackPlan plan, Moment moment) {
    this.moment = moment;
    capacityAh = usualAh(plan.ratedAh());
  }

  /** What cells of so many rated Ah may hold where nothing was measured, Ah. */
  public static Interval usualAh(double ratedAh) {
    return new Interval(LEAST_OF_RATED * ratedAh, ratedAh, MOST_OF_RATED * ratedAh);
  }

  /** Looks at the latest entry. */
  public void accept() {
    if (moment.flow().isCounted()) {
      net += moment.flow().amounts().net();
    }
    if (moment.chargeEnd().isTop()) {
      net = 0;
      isFull = true;
    } else if (isFull) {
      isFull = netAh() >= -NEARLY_FULL * capacityAh.mid();
    }
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

  /** True from a top on until 1 % has been drawn; a count that crept back to 100 % is no proof. */
  public boolean isFull() {
    return isFull;
  }

  /** True once the pack has been at its top. */
  public boolean isKnown() {
    return moment.chargeEnd().kind() != ChargeTermination.NONE;
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

  public void state(State io) {
    capacityAh = capacityAh.state(io);
    net = io.number(net);
    isFull = io.flag(isFull);
  }
}
