package org.cellherd.sim;

import java.util.List;
import org.cellherd.sim.cell.Cell;
import org.cellherd.sim.cell.SimPack;

/**
 * What is really so in a simulated pack, for tests and benchmarks to compare with. Cells from 1.
 * Belongs to the rig's thread.
 */
public final class Truth {

  private final PackModel model;
  private final LimitWatch limits;
  private double chargedAh;
  private double dischargedAh;
  private double chargedWh;
  private double dischargedWh;
  private double coldChargeS;

  Truth(PackModel model) {
    this.model = model;
    this.limits = new LimitWatch(model.plan().limits());
  }

  void book(double seconds, long timeMs) {
    SimPack pack = model.pack();
    double hours = seconds / 3600;
    double amperes = pack.currentA();
    if (amperes > 0) {
      chargedAh += amperes * hours;
      chargedWh += amperes * pack.stackV() * hours;
      bookCold(seconds);
    } else {
      dischargedAh -= amperes * hours;
      dischargedWh -= amperes * pack.stackV() * hours;
    }
    limits.look(pack, timeMs);
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

  /** Ah by which a cell is ahead of the last one on the way to full. */
  public double leadAh(int cell) {
    return greatestMissingAh() - model.pack().cell(cell).missingAh();
  }

  /** The greatest lead of any cell, Ah. */
  public double greatestLeadAh() {
    double greatest = 0;
    for (int cell = 1; cell <= model.pack().count(); cell++) {
      greatest = Math.max(greatest, leadAh(cell));
    }
    return greatest;
  }

  private double greatestMissingAh() {
    double most = -Double.MAX_VALUE;
    for (int cell = 1; cell <= model.pack().count(); cell++) {
      most = Math.max(most, model.pack().cell(cell).missingAh());
    }
    return most;
  }

  /** Capacity of a cell, Ah. */
  public double capacityAh(int cell) {
    return model.pack().cell(cell).capacityAh();
  }

  /** What the pack can give between its first full and its first empty cell, Ah. */
  public double usableAh() {
    double charge = Double.MAX_VALUE;
    double missing = Double.MAX_VALUE;
    for (int number = 1; number <= model.pack().count(); number++) {
      Cell cell = model.pack().cell(number);
      charge = Math.min(charge, cell.chargeAh());
      missing = Math.min(missing, cell.missingAh());
    }
    return charge + missing;
  }

  /** Resistance of a cell so many seconds after a step at 25 degC, without straps, mohm. */
  public double resistanceMohm(int cell, double pulseS) {
    return 1000 * model.pack().cell(cell).traits().impedance().ohmAfter(pulseS);
  }

  /** Resistance of the strap between a cell and the next one, mohm. */
  public double strapMohm(int cell) {
    return 1000 * model.pack().strapOhm(cell);
  }

  /** What a cell loses by itself, mA. */
  public double leakMa(int cell) {
    return 1000 * model.pack().cell(cell).leakA();
  }

  /** What a cell has lost by bleeding so far, Ah. */
  public double bledAh(int cell) {
    return model.board().bleeder().bledAh(cell);
  }

  /** What a cell's bleed resistor takes now, mA. */
  public double bleedMa(int cell) {
    return 1000 * model.pack().bleedA(cell);
  }

  /** True current through the string, A, positive while charging. */
  public double currentA() {
    return model.pack().currentA();
  }

  /** True voltage of a cell at its terminals, V. */
  public double cellV(int cell) {
    return model.pack().cell(cell).terminalV();
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

  /** How often a high cell has opened the charge switch. */
  public int highTrips() {
    return model.board().switches().highTrips();
  }
}
