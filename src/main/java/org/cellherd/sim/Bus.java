package org.cellherd.sim;

import java.util.List;

/**
 * Packs in parallel on one bus with a charger and loads: who gets what current. Belongs to one
 * thread; its results stand until the next {@link #solve}.
 */
final class Bus {

  /** A pack as the bus sees it: a source behind a resistance and switches. */
  public interface Branch {
    /** Voltage without current, V. */
    double sourceV();

    /** Resistance, ohm, above 0. */
    double seriesOhm();

    /** True when charge may flow. */
    boolean mayCharge();

    /** True when discharge may flow. */
    boolean mayDischarge();
  }

  /** Rounding leaves less than this of a current that is none, A. */
  private static final double NOTHING_A = 1e-9;

  private final double[] sourceV;
  private final double[] ohm;
  private final boolean[] open;
  private final double[] amperes;
  private double busV;

  public Bus(int packs) {
    sourceV = new double[packs];
    ohm = new double[packs];
    open = new boolean[packs];
    amperes = new double[packs];
  }

  /**
   * Finds the currents.
   *
   * @param giveA what the charger could give at most
   * @param limitV voltage it does not pass
   * @param takeA what the loads take
   */
  public void solve(List<? extends Branch> branches, double giveA, double limitV, double takeA) {
    for (int i = 0; i < sourceV.length; i++) {
      Branch branch = branches.get(i);
      sourceV[i] = branch.sourceV();
      ohm[i] = branch.seriesOhm();
      open[i] = !branch.mayCharge() && !branch.mayDischarge();
    }
    boolean again = true;
    while (again) {
      share(giveA, limitV, takeA);
      again = false;
      for (int i = 0; i < sourceV.length; i++) {
        boolean stopped =
            amperes[i] > 0 ? !branches.get(i).mayCharge() : !branches.get(i).mayDischarge();
        if (!open[i] && Math.abs(amperes[i]) > NOTHING_A && stopped) {
          open[i] = true;
          again = true;
        }
      }
    }
  }

  private void share(double giveA, double limitV, double takeA) {
    double conductance = 0;
    double shorted = 0;
    for (int i = 0; i < sourceV.length; i++) {
      if (!open[i]) {
        conductance += 1 / ohm[i];
        shorted += sourceV[i] / ohm[i];
      }
    }
    if (conductance == 0) {
      busV = giveA >= takeA && giveA > 0 ? limitV : 0;
    } else {
      double free = (shorted - takeA) / conductance;
      double pushed = (shorted + giveA - takeA) / conductance;
      busV = Math.max(free, Math.min(pushed, limitV));
    }
    for (int i = 0; i < sourceV.length; i++) {
      amperes[i] = open[i] ? 0 : (busV - sourceV[i]) / ohm[i];
    }
  }

  /** Voltage of the bus, V; 0 when it is dead. */
  public double busV() {
    return busV;
  }

  /** Current into a pack, by index, A. */
  public double amperes(int index) {
    return amperes[index];
  }

  /** What all packs take together, A. */
  public double sumA() {
    double sum = 0;
    for (double a : amperes) {
      sum += a;
    }
    return sum;
  }
}
