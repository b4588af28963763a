package org.cellherd.analysis.estimate;

import org.cellherd.analysis.state.State;

/**
 * Means over a stretch in which nothing moved by much; numbers are rounded so that what is saved is
 * what is computed with.
 *
 * @param hours its middle, fold time
 * @param volts of each cell
 * @param current A, by lag
 * @param ah counted charge
 * @param lostAh what may have flowed unseen since the kept block before
 * @param readings how many, at most {@link #MOST_READINGS}
 * @param measures bit 0 = cell 1 says something new
 * @param bledHours of each cell since the kept block before
 * @param unsureHours of them near the switching point
 * @param noise of one voltage, V
 * @param scatter of voltages that bleeding pulls, with that undone, V
 * @param resolution of one voltage, V
 * @param deadZoneA currents below are not told
 * @param cold resistance of cells at their temperature over that at 25 degC
 */
@SuppressWarnings("ArrayRecordComponent")
record Block(
    double hours,
    double[] volts,
    Currents current,
    double ah,
    double lostAh,
    int readings,
    long measures,
    double[] bledHours,
    double[] unsureHours,
    double noise,
    double scatter,
    double resolution,
    double deadZoneA,
    double cold) {
  /** More readings make a mean no better: their errors are alike. */
  static final int MOST_READINGS = 10_000;

  private static final double PER_V = 1e5;
  private static final double PER_HOUR = 3600;

  /**
   * Current and what it was, A.
   *
   * @param now at once
   * @param fast behind a lag of half a minute
   * @param slow behind a lag of 25 minutes
   * @param slowest behind a lag of 100 minutes
   * @param risen sum of all rises so far of one behind a lag of six minutes
   */
  record Currents(double now, double fast, double slow, double slowest, double risen) {
    static final Currents NONE = new Currents(0, 0, 0, 0, 0);

    /**
     * By how much two currents surely differ, A: one within the dead zone may be anywhere in it. A
     * current at its edge is printed now as 0 and now in full, and nothing has changed.
     */
    static double step(double a, double b, double zoneA) {
      double apart = Math.abs(a - b);
      boolean isUntold = Math.min(Math.abs(a), Math.abs(b)) < zoneA;
      return isUntold ? Math.max(0, apart - zoneA) : apart;
    }

    Currents state(State io) {
      return new Currents(
          io.number(now), io.number(fast), io.number(slow), io.number(slowest), io.number(risen));
    }
  }

  static Block blank(int cells) {
    return new Block(
        0,
        new double[cells],
        Currents.NONE,
        0,
        0,
        0,
        0,
        new double[cells],
        new double[cells],
        0,
        0,
        0,
        0,
        1);
  }

  Block rounded() {
    return new Block(
        hours,
        rounded(volts, PER_V),
        current,
        ah,
        lostAh,
        readings,
        measures,
        rounded(bledHours, PER_HOUR),
        rounded(unsureHours, PER_HOUR),
        noise,
        scatter,
        resolution,
        deadZoneA,
        cold);
  }

  private static double[] rounded(double[] values, double per) {
    double[] out = new double[values.length];
    for (int i = 0; i < out.length; i++) {
      out[i] = Math.round(values[i] * per) / per;
    }
    return out;
  }

  /** Of two neighbours the second, with what was bled in both. */
  Block after(Block first) {
    double[] bled = bledHours.clone();
    double[] unsure = unsureHours.clone();
    for (int i = 0; i < bled.length; i++) {
      bled[i] += first.bledHours[i];
      unsure[i] += first.unsureHours[i];
    }
    return new Block(
            hours,
            volts,
            current,
            ah,
            lostAh + first.lostAh,
            readings,
            measures | first.measures,
            bled,
            unsure,
            noise,
            Math.max(scatter, first.scatter),
            resolution,
            deadZoneA,
            cold)
        .rounded();
  }

  Block state(State io) {
    return new Block(
        io.number(hours),
        state(io, volts, PER_V),
        current.state(io),
        io.number(ah),
        io.number(lostAh),
        io.within(readings, 0, MOST_READINGS),
        io.number(measures),
        state(io, bledHours, PER_HOUR),
        state(io, unsureHours, PER_HOUR),
        io.number(noise),
        io.number(scatter),
        io.number(resolution),
        io.number(deadZoneA),
        io.number(cold));
  }

  private static double[] state(State io, double[] values, double per) {
    double[] out = new double[values.length];
    for (int i = 0; i < out.length; i++) {
      out[i] = io.number(Math.round(values[i] * per)) / per;
    }
    return out;
  }
}
