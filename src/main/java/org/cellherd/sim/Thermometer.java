package org.cellherd.sim;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.pack.Temperatures;

/** The board's temperature sensors, with what can be wrong with them. Belongs to one thread. */
final class Thermometer {

  /** What is printed for an open thermistor, 0.1 degC. */
  public static final int OPEN_TENTH_C = -400;

  /** What is printed for a shorted thermistor, 0.1 degC. */
  public static final int SHORT_TENTH_C = 1250;

  /** What can be wrong with a sensor. */
  public enum Fault {
    NONE,
    OPEN,
    SHORT,
    STUCK
  }

  /** The switches warm by this per A squared, K, with this time constant, s. */
  private static final double SWITCH_K_PER_A2 = 0.004;

  private static final double SWITCH_TAU_S = 300;

  private final List<SensorTraits> sensors;
  private final double stepC;
  private final double noiseC;
  private final Fault[] faults;
  private final int[] last;
  private double switchWarmK;
  private double ambientC;

  /** Sensors that print in steps and with noise, degC. */
  public Thermometer(List<SensorTraits> sensors, double stepC, double noiseC) {
    this.sensors = List.copyOf(sensors);
    this.stepC = stepC;
    this.noiseC = noiseC;
    this.faults = new Fault[sensors.size()];
    Arrays.fill(faults, Fault.NONE);
    this.last = new int[sensors.size()];
  }

  public void step(double airC, double amperes, double seconds) {
    ambientC = airC;
    double settled = SWITCH_K_PER_A2 * amperes * amperes;
    switchWarmK += (settled - switchWarmK) * Math.min(1, seconds / SWITCH_TAU_S);
  }

  /** Breaks or mends a sensor, from 1. */
  public void fault(int sensor, Fault fault) {
    faults[sensor - 1] = fault;
  }

  /** True temperature at a sensor, from 1, degC. */
  public double celsius(SimPack pack, int sensor) {
    SensorTraits traits = sensors.get(sensor - 1);
    return switch (traits.role()) {
      case CELL -> pack.celsius(traits.cell());
      case SWITCH -> ambientC + switchWarmK;
      case AMBIENT, UNUSED -> ambientC;
    };
  }

  public Temperatures measure(SimPack pack, SplittableRandom noise) {
    int[] printed = new int[sensors.size()];
    for (int i = 0; i < printed.length; i++) {
      if (faults[i] == Fault.NONE) {
        last[i] = print(pack, i, noise);
      }
      printed[i] =
          switch (faults[i]) {
            case NONE, STUCK -> last[i];
            case OPEN -> OPEN_TENTH_C;
            case SHORT -> SHORT_TENTH_C;
          };
    }
    return Temperatures.ofTenthC(printed);
  }

  private int print(SimPack pack, int index, SplittableRandom noise) {
    double value =
        celsius(pack, index + 1)
            + sensors.get(index).offsetC()
            + (noiseC > 0 ? noiseC * noise.nextGaussian() : 0);
    return (int) Math.round(Math.round(value / stepC) * stepC * 10);
  }

  /** Lowest printed temperature of the cells, degC; 25 where no sensor touches one. */
  public double coldestC(SimPack pack) {
    double coldest = Double.MAX_VALUE;
    for (int i = 0; i < faults.length; i++) {
      if (sensors.get(i).role() == SensorRole.CELL) {
        coldest = Math.min(coldest, seen(pack, i));
      }
    }
    return coldest == Double.MAX_VALUE ? 25 : coldest;
  }

  /** Highest printed temperature of all sensors, degC; 25 where there is none. */
  public double hottestC(SimPack pack) {
    double hottest = -Double.MAX_VALUE;
    for (int i = 0; i < faults.length; i++) {
      hottest = Math.max(hottest, seen(pack, i));
    }
    return faults.length == 0 ? 25 : hottest;
  }

  private double seen(SimPack pack, int index) {
    return switch (faults[index]) {
      case NONE -> celsius(pack, index + 1);
      case STUCK -> last[index] / 10.0;
      case OPEN -> OPEN_TENTH_C / 10.0;
      case SHORT -> SHORT_TENTH_C / 10.0;
    };
  }
}
