package org.cellherd.analysis.estimate;

import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;

/** The current, behind lags too, and the charge counted from it. */
final class LaggedCurrent {
  private static final double MS_PER_H = 3_600_000;
  private static final double FAST_MS = 30_000;

  /** Each lag is four times the one before; this one is no unknown of the filter. */
  private static final double MIDDLE_MS = 375_000;

  private static final double SLOW_MS = 1_500_000;
  private static final double SLOWEST_MS = 6_000_000;

  private double now;
  private double fast;
  private double middle;
  private double risen;
  private double slow;
  private double slowest;
  private double ah;
  private double lostAh;
  private double unsureSquared;

  /** Takes the latest reading: a missing current is the one before, a gap loses charge. */
  void accept(Moment m, double unsure) {
    double latest = m.currentMa() == Moment.MISSING ? now : m.currentMa() / 1000.0;
    double ms = Math.max(0, m.stepMs());
    if (m.isJoined()) {
      ah += 0.5 * (latest + now) * ms / MS_PER_H;
      unsureSquared += unsure;
    } else {
      lostAh += Math.max(Math.abs(latest), Math.abs(now)) * ms / MS_PER_H;
    }
    fast += (latest - fast) * share(ms, FAST_MS);
    double swing = (latest - middle) * share(ms, MIDDLE_MS);
    middle += swing;
    risen += Math.max(0, swing);
    slow += (latest - slow) * share(ms, SLOW_MS);
    slowest += (latest - slowest) * share(ms, SLOWEST_MS);
    now = latest;
  }

  /** 1 - exp(-x) to a ten thousandth for the small x of usual steps, without its cost. */
  private static double share(double ms, double lagMs) {
    double x = ms / lagMs;
    return x < 0.05 ? x * (1 - x / 2 + x * x / 6) : 1 - Math.exp(-x);
  }

  double now() {
    return now;
  }

  double ah() {
    return ah;
  }

  /** Adds the four currents, what the one between them has risen by in all, and the charge. */
  void addTo(double[] sums) {
    sums[0] += now;
    sums[1] += fast;
    sums[2] += slow;
    sums[3] += slowest;
    sums[4] += risen;
    sums[5] += ah;
  }

  /** What may have flowed unseen since this was asked last. */
  double takeLostAh() {
    double lost = Math.hypot(lostAh, Math.sqrt(unsureSquared));
    lostAh = 0;
    unsureSquared = 0;
    return lost;
  }

  void state(State io) {
    now = io.number(now);
    fast = io.number(fast);
    middle = io.number(middle);
    risen = io.number(risen);
    slow = io.number(slow);
    slowest = io.number(slowest);
    ah = io.number(ah);
    lostAh = io.number(lostAh);
    unsureSquared = io.number(unsureSquared);
  }
}
