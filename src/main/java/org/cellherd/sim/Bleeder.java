package org.cellherd.sim;

/** Decides which cells bleed and counts what they lose. Belongs to one thread. */
final class Bleeder {

  /**
   * A turn is half over as the log begins: at its edge flags are of one turn, voltages of another.
   */
  private static final double BEGUN = 0.5;

  private final BleedTraits traits;
  private final double[] bledAh;
  private final double[] pausedV;
  private double clockS;
  private long mask;

  public Bleeder(BleedTraits traits, int cells) {
    this.traits = traits;
    this.bledAh = new double[cells];
    this.pausedV = new double[cells];
  }

  /** Books what flowed for some seconds, then decides anew by the voltages without bleeding. */
  public void step(SimPack pack, double seconds) {
    clockS += seconds;
    double lowest = Double.MAX_VALUE;
    for (int i = 0; i < bledAh.length; i++) {
      pausedV[i] = pack.pausedV(i + 1);
      lowest = Math.min(lowest, pausedV[i]);
    }
    mask = 0;
    for (int i = 0; i < bledAh.length; i++) {
      bledAh[i] += pack.bleedA(i + 1) * seconds / 3600;
      boolean on = wants(pausedV[i], lowest, pack.currentA()) && hasTurn(i);
      pack.bleed(i + 1, on ? traits.amperes() : 0);
      mask |= on ? 1L << i : 0;
    }
  }

  private boolean wants(double volts, double lowest, double amperes) {
    boolean allowed =
        switch (traits.when()) {
          case NEVER -> false;
          case CHARGING -> amperes > traits.chargingA();
          case ALWAYS -> true;
        };
    return allowed && volts >= traits.fromV() && volts - lowest >= traits.deltaV();
  }

  private boolean hasTurn(int index) {
    return traits.alternateS() <= 0
        || ((long) (clockS / traits.alternateS() + BEGUN) + index) % 2 == 0;
  }

  /** What a cell has lost by bleeding so far, Ah; cells from 1. */
  public double bledAh(int cell) {
    return bledAh[cell - 1];
  }

  /** Bit 0 = cell 1 bleeds now. */
  public long mask() {
    return mask;
  }

  /** True when the board tells which cells bleed. */
  public boolean tells() {
    return traits.flag();
  }
}
