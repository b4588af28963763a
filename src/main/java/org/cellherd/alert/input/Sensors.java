package org.cellherd.alert.input;

import java.util.function.IntConsumer;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.pack.Temperatures;

/** The temperature sensors of one reading, by what they touch. Immutable. */
public final class Sensors {
  private final PackPlan plan;
  private final Temperatures all;

  Sensors(PackPlan plan, Temperatures all) {
    this.plan = plan;
    this.all = all;
  }

  /** Temperature of a sensor that {@link #each} or a search named. */
  public double celsius(int sensor) {
    return all.tenthC(sensor) / 10.0;
  }

  /** Does something with the number of every sensor of a role that was read. */
  public void each(SensorRole role, IntConsumer action) {
    for (int sensor = 1; sensor <= all.count(); sensor++) {
      if (all.has(sensor) && plan.role(sensor) == role) {
        action.accept(sensor);
      }
    }
  }

  /** Number of the coldest sensor of a cell; 0 when there is none. */
  public int coldestCell() {
    int best = 0;
    for (int s = 1; s <= all.count(); s++) {
      boolean isCell = all.has(s) && plan.role(s) == SensorRole.CELL;
      best = isCell && (best == 0 || all.tenthC(s) < all.tenthC(best)) ? s : best;
    }
    return best;
  }

  /** Number of the hottest sensor of a role; 0 when there is none. */
  public int hottest(SensorRole role) {
    int best = 0;
    for (int s = 1; s <= all.count(); s++) {
      boolean isOfRole = all.has(s) && plan.role(s) == role;
      best = isOfRole && (best == 0 || all.tenthC(s) > all.tenthC(best)) ? s : best;
    }
    return best;
  }
}
