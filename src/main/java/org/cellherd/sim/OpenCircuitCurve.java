package org.cellherd.sim;

/** Voltage of a rested cell over its state of charge. Immutable; any thread. */
public final class OpenCircuitCurve {

  /** A function from state of charge to volts, valid between the ends of its table. */
  @FunctionalInterface
  public interface Shape {
    /** Volts at a state of charge, 0 empty to 1 full. */
    double volts(double soc);
  }

  private static final int POINTS_PER_UNIT = 10_000;

  private final double firstSoc;
  private final double[] volts;
  private final double slopeBelow;
  private final double slopeAbove;

  private OpenCircuitCurve(double firstSoc, double[] volts) {
    this.firstSoc = firstSoc;
    this.volts = volts;
    this.slopeBelow = (volts[1] - volts[0]) * POINTS_PER_UNIT;
    int last = volts.length - 1;
    this.slopeAbove = (volts[last] - volts[last - 1]) * POINTS_PER_UNIT;
  }

  /** A shape as a table of 0.01 % steps between two states of charge. */
  public static OpenCircuitCurve tabulate(Shape shape, double firstSoc, double lastSoc) {
    int first = (int) Math.round(firstSoc * POINTS_PER_UNIT);
    int last = (int) Math.round(lastSoc * POINTS_PER_UNIT);
    double[] table = new double[last - first + 1];
    for (int i = 0; i < table.length; i++) {
      table[i] = shape.volts((first + i) / (double) POINTS_PER_UNIT);
    }
    return new OpenCircuitCurve(first / (double) POINTS_PER_UNIT, table);
  }

  /** Volts at a state of charge; below the table it dies away to 0 V, above it goes on straight. */
  public double volts(double soc) {
    double place = (soc - firstSoc) * POINTS_PER_UNIT;
    int last = volts.length - 1;
    if (place <= 0) {
      return volts[0] * Math.exp((soc - firstSoc) * slopeBelow / volts[0]);
    }
    if (place >= last) {
      return volts[last] + (place - last) / POINTS_PER_UNIT * slopeAbove;
    }
    int i = (int) place;
    return volts[i] + (place - i) * (volts[i + 1] - volts[i]);
  }

  /** Lowest state of charge at which the curve reaches a voltage. */
  public double socAt(double wanted) {
    double low = firstSoc - 0.5;
    double high = firstSoc + (volts.length - 1.0) / POINTS_PER_UNIT + 0.5;
    for (int i = 0; i < 60; i++) {
      double middle = (low + high) / 2;
      if (volts(middle) < wanted) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return (low + high) / 2;
  }
}
