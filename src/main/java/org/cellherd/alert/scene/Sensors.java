package org.cellherd.alert.scene;

import java.util.function.IntConsumer;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.pack.Temperatures;

/** The temperature sensors of one reading, by what they touch. Immutable. */
public final class Sensors {
  private final PackPlan plan;
  private final Temperatures all;

  /** The sensors of a scene's fresh reading; none without one. */
  public Sensors(Scene scene) {
    this.plan = scene.plan();
    this.all = scene.fresh().map(r -> r.temperatures()).orElse(Temperatures.NONE);
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
    int[] best = {0};
    each(
        SensorRole.CELL,
        s -> best[0] = best[0] == 0 || all.tenthC(s) < all.tenthC(best[0]) ? s : best[0]);
    return best[0];
  }

  /** Number of the hottest sensor of a role; 0 when there is none. */
  public int hottest(SensorRole role) {
    int[] best = {0};
    each(role, s -> best[0] = best[0] == 0 || all.tenthC(s) > all.tenthC(best[0]) ? s : best[0]);
    return best[0];
  }
}
