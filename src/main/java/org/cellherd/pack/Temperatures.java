package org.cellherd.pack;

import java.util.Arrays;
import java.util.OptionalInt;

/** The sensors' temperatures of one reading in 0.1 degC, numbered from 1; any may be missing. */
public final class Temperatures {

  public static final Temperatures NONE = new Temperatures(new int[0]);

  private static final int MISSING = Integer.MIN_VALUE;

  private final int[] tenthC;

  private Temperatures(int[] tenthC) {
    this.tenthC = tenthC;
  }

  /** Temperatures in 0.1 degC, first sensor first. */
  public static Temperatures ofTenthC(int... values) {
    if (values.length > Channel.MAX_NUMBER) {
      throw new IllegalArgumentException(values.length + " sensors, most " + Channel.MAX_NUMBER);
    }
    return new Temperatures(values.clone());
  }

  /** Temperatures in 0.1 degC where an empty value is a missing sensor. */
  public static Temperatures ofOptional(OptionalInt... values) {
    return ofTenthC(Arrays.stream(values).mapToInt(v -> v.orElse(MISSING)).toArray());
  }

  /** Highest sensor number, missing ones counted. */
  public int count() {
    return tenthC.length;
  }

  /** True when this sensor has a temperature. */
  public boolean has(int sensor) {
    return sensor >= 1 && sensor <= tenthC.length && tenthC[sensor - 1] != MISSING;
  }

  /**
   * Temperature in 0.1 degC.
   *
   * @throws IllegalArgumentException when the sensor is missing: ask {@link #has} first
   */
  public int tenthC(int sensor) {
    if (!has(sensor)) {
      throw new IllegalArgumentException("sensor " + sensor + " has no reading");
    }
    return tenthC[sensor - 1];
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Temperatures that && Arrays.equals(tenthC, that.tenthC);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(tenthC);
  }

  @Override
  public String toString() {
    StringBuilder text = new StringBuilder("Temperatures[");
    for (int sensor = 1; sensor <= tenthC.length; sensor++) {
      text.append(sensor == 1 ? "" : " ").append(has(sensor) ? tenthC[sensor - 1] : "-");
    }
    return text.append("] 0.1 degC").toString();
  }
}
