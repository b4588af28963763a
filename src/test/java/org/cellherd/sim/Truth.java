package org.cellherd.sim;

/** What is really so in a simulated pack now. Cells from 1. Belongs to the rig's thread. */
public final class Truth {

  private final PackModel model;

  private Truth(PackModel model) {
    this.model = model;
  }

  /** Of the first pack. */
  public static Truth of(SimulatedRig rig) {
    return of(rig, 0);
  }

  /** Of a pack, by index from 0. */
  public static Truth of(SimulatedRig rig, int pack) {
    return new Truth(rig.packs().get(pack));
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

  /** How often a high cell has opened the charge switch. */
  public int highTrips() {
    return model.board().switches().highTrips();
  }
}
