package org.cellherd.sim;

import java.util.List;

/** What really happened in a simulated pack since this began. Belongs to the rig's thread. */
public final class TrueCourse {

  private final SimulatedRig rig;
  private final PackModel model;
  private final LimitWatch limits;
  private double chargedAh;
  private double dischargedAh;
  private double coldChargeS;

  /** Begins now, with a pack by index from 0. */
  public TrueCourse(SimulatedRig rig, int pack) {
    this.rig = rig;
    this.model = rig.packs().get(pack);
    this.limits = new LimitWatch(model.plan().limits());
    rig.onStep(this::book);
  }

  private void book(double seconds) {
    SimPack pack = model.pack();
    double hours = seconds / 3600;
    double amperes = pack.currentA();
    if (amperes > 0) {
      chargedAh += amperes * hours;
      bookCold(seconds);
    } else {
      dischargedAh -= amperes * hours;
    }
    limits.look(pack, rig.nowMs());
  }

  private void bookCold(double seconds) {
    SimPack pack = model.pack();
    if (pack.currentA() > 0.02 * model.plan().ratedAh()) {
      for (int cell = 1; cell <= pack.count(); cell++) {
        if (pack.celsius(cell) < 0) {
          coldChargeS += seconds;
          return;
        }
      }
    }
  }

  /** Charge that has gone in, Ah. */
  public double chargedAh() {
    return chargedAh;
  }

  /** Charge that has come out, Ah. */
  public double dischargedAh() {
    return dischargedAh;
  }

  /** For how long a cell below 0 degC was charged with more than 0.02C, s. */
  public double coldChargeS() {
    return coldChargeS;
  }

  /** When cells really were beyond the plan's limits, in order of their beginning. */
  public List<Exceedance> exceedances() {
    return limits.found();
  }
}
