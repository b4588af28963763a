package org.cellherd.analysis.resistance;

import java.util.Arrays;
import java.util.Map;
import java.util.OptionalLong;
import java.util.TreeMap;
import org.cellherd.analysis.state.State;

/**
 * Load steps sorted by temperature in bins of 5 K, for resistance doubles from 25 degC to about 0
 * to 5 (common practice). Steps without a temperature have a bin of their own. Belongs to one
 * thread.
 */
final class TemperatureBins {
  /** The bin of steps whose temperature is not known. */
  static final int UNKNOWN = 1_000;

  private static final int WIDTH_TENTH_C = 50;
  private static final int LOWEST = -8;
  private static final int HIGHEST = 17;

  private final int series;
  private final int pulses;
  private final Map<Integer, StepRing[]> bins = new TreeMap<>();

  TemperatureBins(int series, int pulses) {
    this.series = series;
    this.pulses = pulses;
  }

  /** Bin of a temperature in 0.1 degC. */
  static int bin(int tenthC) {
    return Math.max(LOWEST, Math.min(HIGHEST, Math.floorDiv(tenthC, WIDTH_TENTH_C)));
  }

  void add(int bin, int pulse, int[] row, long upMs) {
    bins.computeIfAbsent(bin, b -> rings())[pulse].add(row, upMs);
  }

  /** The kept steps from a time on. */
  TemperatureBins since(long fromUpMs) {
    TemperatureBins later = new TemperatureBins(series, pulses);
    bins.forEach(
        (bin, rings) -> {
          StepRing[] laterRings =
              Arrays.stream(rings).map(r -> r.since(fromUpMs)).toArray(StepRing[]::new);
          if (Arrays.stream(laterRings).anyMatch(r -> r.count() > 0)) {
            later.bins.put(bin, laterRings);
          }
        });
    return later;
  }

  /** When the oldest kept step was; empty without any. */
  OptionalLong oldestUpMs() {
    return bins.values().stream().flatMap(Arrays::stream).flatMapToLong(StepRing::times).min();
  }

  private StepRing[] rings() {
    StepRing[] rings = new StepRing[pulses];
    for (int i = 0; i < pulses; i++) {
      rings[i] = new StepRing(series);
    }
    return rings;
  }

  /** All bins, coldest first. */
  Iterable<Integer> all() {
    return bins.keySet();
  }

  /** Steps of a bin that is there. */
  StepRing ring(int bin, int pulse) {
    StepRing[] rings = bins.get(bin);
    if (rings == null) {
      throw new IllegalArgumentException("no steps at bin " + bin);
    }
    return rings[pulse];
  }

  void state(State io) {
    io.parts(bins, HIGHEST - LOWEST + 2, bin -> rings(), TemperatureBins::state);
  }

  private static void state(StepRing[] rings, State io) {
    for (StepRing ring : rings) {
      ring.state(io);
    }
  }
}
