package org.cellherd.analysis.plan;

import java.util.Map;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.TreeMap;
import org.cellherd.pack.PackPlan;

/**
 * What a copper wire carries and loses. Ampacities for 105 degC insulation in free air are start
 * values from memory of the ABYC E-11 table; the wire maker's sheet rules.
 */
public final class Copper {
  private static final double OHM_MM2_PER_M = 0.0175;
  private static final TreeMap<Double, Integer> AMPS =
      new TreeMap<>(Map.of(13.0, 120, 21.0, 160, 33.0, 210, 53.0, 285, 67.0, 330, 107.0, 445));

  private Copper() {}

  /** Ampacity of the next thinner listed wire, A; empty below the thinnest. */
  public static OptionalInt ampacityA(double mm2) {
    Map.Entry<Double, Integer> found = AMPS.floorEntry(mm2);
    return found == null ? OptionalInt.empty() : OptionalInt.of(found.getValue());
  }

  /** What a wire carries, A: as told, else by its cross-section; empty where neither is known. */
  public static OptionalDouble ampacityA(PackPlan.Wire wire) {
    if (wire.ampacityMa().isPresent()) {
      return OptionalDouble.of(wire.ampacityMa().getAsInt() / 1000.0);
    }
    OptionalInt listed =
        wire.tenthMm2().isPresent()
            ? ampacityA(wire.tenthMm2().getAsInt() / 10.0)
            : OptionalInt.empty();
    return listed.isPresent() ? OptionalDouble.of(listed.getAsInt()) : OptionalDouble.empty();
  }

  /** Voltage lost there and back, mV. */
  public static double dropMv(double mm2, double lengthM, double amps) {
    return OHM_MM2_PER_M * 2 * lengthM / mm2 * amps * 1000;
  }
}
