package org.cellherd.alert.rule;

import org.cellherd.alert.scene.Scene;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;

/**
 * Where a load stops by itself: many disconnect at a voltage of their own, and do so at the same
 * one each time. Known once the last two stops in the lower knee may have been at one voltage, and
 * only for as long as the lowest cell is not below it. Belongs to the engine's thread.
 */
final class LoadStop {
  /** Two inputs that are read twice, each 3 mV off at most (common practice, no source). */
  private static final double READ_MV = 6;

  private static final double UNKNOWN = Double.NaN;

  /** The latest loaded reading, and by how much the lowest cell fell up to it, mV a ms. */
  private double loadedMv = UNKNOWN;

  private double mvPerMs;
  private long loadedMs;

  private double lastLowMv = UNKNOWN;
  private double lastHighMv = UNKNOWN;
  private double beforeLowMv = UNKNOWN;
  private double beforeHighMv = UNKNOWN;

  /** Notes where the current stops; what a charger ends, or a silence hides, is no stop. */
  void watch(Scene scene, double lowKneeMv) {
    CellVoltages cells = scene.confirmedCells().orElse(CellVoltages.NONE);
    if (cells.presentCount() == 0 || scene.flowingMa().isEmpty()) {
      loadedMv = UNKNOWN;
      return;
    }
    int flow = scene.flowingMa().getAsInt();
    double lowest = cells.mv(cells.lowestCell());
    if (flow == 0 && !Double.isNaN(loadedMv)) {
      stopped(scene.ageMs() - loadedMs);
    }
    if (flow >= 0 || lowest > lowKneeMv) {
      loadedMv = UNKNOWN;
      return;
    }
    boolean isKnown = !Double.isNaN(loadedMv) && scene.ageMs() > loadedMs;
    mvPerMs = isKnown ? Math.max(0, (loadedMv - lowest) / (scene.ageMs() - loadedMs)) : 0;
    loadedMv = lowest;
    loadedMs = scene.ageMs();
  }

  /** It lies anywhere between two readings: the cell went on falling for a part of the time. */
  private void stopped(long untilNextMs) {
    beforeLowMv = lastLowMv;
    beforeHighMv = lastHighMv;
    lastLowMv = loadedMv - mvPerMs * untilNextMs - READ_MV;
    lastHighMv = loadedMv + READ_MV;
  }

  /** True when the load stops before a cell that falls comes to a limit. */
  boolean comesBefore(double limitMv, double mv) {
    double low = Math.max(lastLowMv, beforeLowMv);
    double high = Math.min(lastHighMv, beforeHighMv);
    return low <= high && low > limitMv && mv >= low;
  }

  void state(State io) {
    loadedMv = io.number(loadedMv);
    mvPerMs = io.number(mvPerMs);
    loadedMs = io.number(loadedMs);
    lastLowMv = io.number(lastLowMv);
    lastHighMv = io.number(lastHighMv);
    beforeLowMv = io.number(beforeLowMv);
    beforeHighMv = io.number(beforeHighMv);
  }
}
