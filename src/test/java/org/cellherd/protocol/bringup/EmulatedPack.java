package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;

/** A drawn pack whose load is switched in steps: what an emulated board measures. */
final class EmulatedPack {

  /** What is true at one instant. Arrays are not to be changed. */
  static final class Instant {
    private final int[] cellsTenthMv;
    private final int currentMa;
    private final int[] tenthC;
    private final int socTenths;
    private final int bleeding;

    Instant(int[] cellsTenthMv, int currentMa, int[] tenthC, int socTenths) {
      this.cellsTenthMv = cellsTenthMv;
      this.currentMa = currentMa;
      this.tenthC = tenthC;
      this.socTenths = socTenths;
      int highest = 0;
      for (int i = 0; i < cellsTenthMv.length; i++) {
        highest = cellsTenthMv[i] > cellsTenthMv[highest] ? i : highest;
      }
      this.bleeding = currentMa > 0 ? 1 << highest : 0;
    }

    /** Which cells bleed, lowest bit for cell 1: the highest one while charging. */
    int bleeding() {
      return bleeding;
    }

    /** Cells in 0.1 mV. */
    int[] cellsTenthMv() {
      return cellsTenthMv;
    }

    /** Positive charges. */
    int currentMa() {
      return currentMa;
    }

    /** Sensors in 0.1 degC. */
    int[] tenthC() {
      return tenthC;
    }

    /** State of charge in 0.1 %. */
    int socTenths() {
      return socTenths;
    }

    int packMv() {
      return Arrays.stream(cellsTenthMv).sum() / 10;
    }
  }

  private final Random random;
  private final double[] ohm;
  private final double[] aheadV;
  private final double[] warm;
  private final double capacityAs;
  private final double emptyV;
  private final double slopeV;
  private double charge = 0.55;
  private int load;

  EmulatedPack(Random random) {
    this.random = random;
    int[] usual = {4, 5, 7, 8, 10, 12, 13, 14, 15, 16, 16, 16};
    int cells = usual[random.nextInt(usual.length)];
    ohm = random.doubles(cells, 0.0010, 0.0024).toArray();
    aheadV = random.doubles(cells, -0.012, 0.012).toArray();
    warm = random.doubles(1 + random.nextInt(4), 14, 27).toArray();
    boolean isPlateau = random.nextInt(3) > 0;
    emptyV = isPlateau ? 3.22 : 3.45;
    slopeV = isPlateau ? 0.12 : 0.60;
    capacityAs = (20 + random.nextInt(180)) * 3600.0;
  }

  /**
   * Instants some seconds apart; a load or a charger is switched every dozen of them, and sensors
   * are warmed by hand one after the other, as the walk through bring-up advises.
   */
  List<Instant> instants(int count, double seconds) {
    List<Instant> all = new ArrayList<>();
    for (int n = 0; n < count; n++) {
      if (n % 12 == 0) {
        double c = random.nextInt(4) == 0 ? 0 : random.nextDouble() - 0.6;
        load = (int) (c * capacityAs / 3600 * 1000 * 0.5);
      }
      warm[n * warm.length / count] += 0.12;
      all.add(instant(seconds));
    }
    return all;
  }

  private Instant instant(double seconds) {
    int current = load == 0 ? 0 : load + (int) (random.nextGaussian() * Math.abs(load) * 0.004);
    charge += current / 1000.0 * seconds / capacityAs;
    int[] cells = new int[ohm.length];
    for (int i = 0; i < cells.length; i++) {
      double open = emptyV + slopeV * charge + aheadV[i];
      double v = open + current / 1000.0 * ohm[i] + random.nextGaussian() * 0.0004;
      cells[i] = (int) Math.round(v * 10_000);
    }
    int[] tenths = new int[warm.length];
    for (int i = 0; i < tenths.length; i++) {
      warm[i] += Math.abs(current) * 2e-6 * seconds / 10 + random.nextGaussian() * 0.03;
      tenths[i] = (int) Math.round(warm[i] * 10);
    }
    return new Instant(cells, current, tenths, (int) Math.round(charge * 1000));
  }

  @Override
  public String toString() {
    return ohm.length + " cells, " + warm.length + " sensors";
  }
}
