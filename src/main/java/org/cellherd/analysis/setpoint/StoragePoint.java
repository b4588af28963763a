package org.cellherd.analysis.setpoint;

import java.util.OptionalDouble;
import org.cellherd.analysis.setpoint.SetPoint.Place;
import org.cellherd.pack.Spoken;

/** The charge at which a pack is put away. */
final class StoragePoint {

  private StoragePoint() {}

  static SetPoint of(CellLevels levels) {
    int[] mv =
        switch (levels.plan.chemistry()) {
          case LFP -> new int[] {3280, 3330};
          case NMC, NCA -> new int[] {3600, 3850};
          case LTO -> new int[] {2200, 2350};
          case SODIUM_ION -> new int[] {2800, 3100};
        };
    String why =
        "About half full, cool and dry; look again after three months. By counted Ah where voltage"
            + " says little.";
    if (mv[0] <= levels.releaseLowMv() || mv[1] >= levels.bleedFromMv) {
      return SetPoint.none(
          Place.STORAGE, "storage_mv", "storage level", "50 % by Ah", new Why(why, Why.PRACTICE));
    }
    return new SetPoint(
        Place.STORAGE,
        "storage_mv",
        "storage level, a cell at rest",
        OptionalDouble.of((mv[0] + mv[1]) / 2.0),
        "mV",
        Spoken.number(mv[0] / 1000.0, 2) + " to " + Spoken.packVolts(mv[1]),
        why,
        Why.PRACTICE);
  }
}
