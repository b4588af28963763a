package org.cellherd.analysis.setpoint;

import java.util.OptionalDouble;
import org.cellherd.analysis.setpoint.SetPoint.Place;
import org.cellherd.pack.Spoken;

/** The charge at which a pack is put away. */
final class StoragePoint {

  private StoragePoint() {}

  static SetPoint of(CellLevels levels) {
    int low = levels.plan.chemistry().storedMv().get(0);
    int high = levels.plan.chemistry().storedMv().get(1);
    String why =
        "About half full, cool and dry; look again after three months. By counted Ah where voltage"
            + " says little.";
    if (low <= levels.releaseLowMv() || high >= levels.bleedFromMv) {
      return SetPoint.none(
          Place.STORAGE, "storage_mv", "storage level", "50 % by Ah", new Why(why, Why.PRACTICE));
    }
    return new SetPoint(
        Place.STORAGE,
        "storage_mv",
        "storage level, a cell at rest",
        OptionalDouble.of((low + high) / 2.0),
        "mV",
        Spoken.number(low / 1000.0, 2) + " to " + Spoken.packVolts(high),
        why,
        Why.PRACTICE);
  }
}
