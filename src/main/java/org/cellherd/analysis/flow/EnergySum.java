package org.cellherd.analysis.flow;

import org.cellherd.analysis.moment.Flow;
import org.cellherd.analysis.state.State;

/**
 * A sum of energy in whole mWh and a rest in halves of a microwatt ms: one long would overflow
 * within days at high power.
 */
final class EnergySum {
  private long milliwattHours;
  private long rest;

  void add(long halves) {
    rest += halves;
    if (rest >= Flow.ENERGY_PER_MWH || rest < 0) {
      milliwattHours += Math.floorDiv(rest, Flow.ENERGY_PER_MWH);
      rest = Math.floorMod(rest, Flow.ENERGY_PER_MWH);
    }
  }

  double wattHours() {
    return milliwattHours / 1000.0 + rest / (Flow.ENERGY_PER_MWH * 1000.0);
  }

  void clear() {
    milliwattHours = 0;
    rest = 0;
  }

  void state(State io) {
    milliwattHours = io.number(milliwattHours);
    rest = io.number(rest);
  }
}
