package org.cellherd.alert.rule;

import org.cellherd.alert.scene.Scene;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
import org.cellherd.pack.CellVoltages;

/**
 * Where a load stops by itself: many disconnect at a voltage of their own, and do so at the same
 * one each time. Known once the last two stops in the lower knee were alike, and only for as long
 * as the lowest cell is not below them. Belongs to the engine's thread.
 */
final class LoadStop {
  private static final double MINUTE_MS = 60_000;

  /** Two inputs that are read twice, each 3 mV off at most (common practice, no source). */
  private static final double READ_MV = 6;

  private double loadedMv = Double.NaN;
  private double lastMv = Double.NaN;
  private double beforeMv = Double.NaN;
  private long ageMs;
  private long everyMs;

  /** Notes where the current stops; what a charger ends, or a silence hides, is no stop. */
  void watch(Scene scene, double lowKneeMv) {
    CellVoltages cells = scene.confirmedCells().orElse(CellVoltages.NONE);
    if (cells.presentCount() == 0 || scene.flowingMa().isEmpty()) {
      loadedMv = Double.NaN;
      return;
    }
    everyMs = scene.ageMs() - ageMs;
    ageMs = scene.ageMs();
    int flow = scene.flowingMa().getAsInt();
    double lowest = cells.mv(cells.lowestCell());
    if (flow == 0 && !Double.isNaN(loadedMv)) {
      beforeMv = lastMv;
      lastMv = loadedMv;
    }
    loadedMv = flow < 0 && lowest <= lowKneeMv ? lowest : Double.NaN;
  }

  /**
   * True when the load stops before a cell that falls comes to a limit. A stop lies anywhere
   * between two readings: stops are alike within what the cell falls meanwhile.
   *
   * @param mvPerMin negative
   */
  boolean comesBefore(double limitMv, double mv, double mvPerMin) {
    double alike = READ_MV - mvPerMin * everyMs / MINUTE_MS;
    double least = Math.min(lastMv, beforeMv) - alike;
    return Math.abs(lastMv - beforeMv) <= alike && least > limitMv && mv >= least;
  }

  void save(StateWriter out) {
    out.putDouble(loadedMv).putDouble(lastMv).putDouble(beforeMv).putLong(ageMs).putLong(everyMs);
  }

  void restore(StateReader in) {
    loadedMv = in.getDouble();
    lastMv = in.getDouble();
    beforeMv = in.getDouble();
    ageMs = in.getLong();
    everyMs = in.getLong();
  }
}
