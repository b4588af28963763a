package org.cellherd.analysis.flow;

import org.cellherd.pack.Channel;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.pack.Temperatures;

/** The sensors that touch cells, by the plan. Immutable. */
public final class CellTemperatures {
  /** What a missing temperature is here. */
  public static final int MISSING = Integer.MIN_VALUE;

  private final boolean[] isCell = new boolean[Channel.MAX_NUMBER + 1];

  public CellTemperatures(PackPlan plan) {
    for (int sensor = 1; sensor < isCell.length; sensor++) {
      isCell[sensor] = plan.role(sensor) == SensorRole.CELL;
    }
  }

  /** The coldest cell sensor, 0.1 degC, or {@link #MISSING}. */
  public int coldest(Temperatures temperatures) {
    int coldest = MISSING;
    for (int sensor = 1; sensor <= temperatures.count(); sensor++) {
      if (isCell[sensor] && temperatures.has(sensor)) {
        int value = temperatures.tenthC(sensor);
        coldest = coldest == MISSING ? value : Math.min(coldest, value);
      }
    }
    return coldest;
  }

  /** The hottest cell sensor, 0.1 degC, or {@link #MISSING}. */
  public int hottest(Temperatures temperatures) {
    int hottest = MISSING;
    for (int sensor = 1; sensor <= temperatures.count(); sensor++) {
      if (isCell[sensor] && temperatures.has(sensor)) {
        hottest = Math.max(hottest, temperatures.tenthC(sensor));
      }
    }
    return hottest;
  }

  /** Mean of the cell sensors, 0.1 degC, or {@link #MISSING}. */
  public int mean(Temperatures temperatures) {
    int sum = 0;
    int count = 0;
    for (int sensor = 1; sensor <= temperatures.count(); sensor++) {
      if (isCell[sensor] && temperatures.has(sensor)) {
        sum += temperatures.tenthC(sensor);
        count++;
      }
    }
    return count == 0 ? MISSING : Math.round((float) sum / count);
  }
}
