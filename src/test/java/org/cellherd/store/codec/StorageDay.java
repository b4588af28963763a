package org.cellherd.store.codec;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/**
 * Days of readings at 1 Hz of an invented pack of 16 cells with 4 sensors, to measure the store
 * with. Noisy: 0.6 mV and 0.1 A of Gaussian noise; quiet: 0.15 mV, and a current that hardly moves.
 */
public final class StorageDay {
  private static final int CELLS = 16;

  private final Random random;
  private final boolean noisy;
  private final double[] offset = new double[CELLS];
  private double soc = 0.3;

  /** A pack with a seed. */
  public StorageDay(boolean noisy, long seed) {
    this.noisy = noisy;
    random = new Random(seed);
    for (int i = 0; i < CELLS; i++) {
      offset[i] = random.nextGaussian() * 4;
    }
  }

  /** The readings of some seconds from {@code first}, second 0 being midnight. */
  public List<Reading> readings(long startMs, int first, int seconds) {
    List<Reading> readings = new ArrayList<>();
    for (int i = first; i < first + seconds; i++) {
      readings.add(reading(startMs + i * 1000L, i));
    }
    return readings;
  }

  private Reading reading(long timeMs, int i) {
    double hour = i % 86_400 / 3600.0;
    double current = i / 1800 % 8 != 0 ? -0.4 : -2.1;
    if (noisy) {
      double sun =
          Math.max(0, StrictMath.sin((hour - 6) / 12 * Math.PI))
              * 40
              * (0.8 + 0.2 * StrictMath.sin(i / 300.0));
      current = sun - 3 - (i / 900 % 4 == 0 ? 12 : 0) + random.nextGaussian() * 0.1;
    }
    soc = Math.min(1, Math.max(0.05, soc + current / 3600 / 200));
    double open = 3200 + 150 * soc + Math.max(0, soc - 0.97) * 8000;
    int[] mv = new int[CELLS];
    int sum = 0;
    for (int c = 0; c < CELLS; c++) {
      double noise = random.nextGaussian() * (noisy ? 0.6 : 0.15);
      mv[c] = (int) Math.rint(open + offset[c] + current * 0.3 + noise);
      sum += mv[c];
    }
    int[] sensors = new int[4];
    for (int s = 0; s < sensors.length; s++) {
      double swing = 80 * StrictMath.sin((hour - 9) / 24 * 2 * Math.PI);
      sensors[s] = (int) Math.rint(200 + swing + random.nextGaussian() * 0.3);
    }
    return Reading.at(timeMs)
        .currentMa((int) Math.rint(current * 10) * 100)
        .packMv(sum / 10 * 10)
        .cells(CellVoltages.ofMv(mv))
        .temperatures(Temperatures.ofTenthC(sensors))
        .build();
  }
}
