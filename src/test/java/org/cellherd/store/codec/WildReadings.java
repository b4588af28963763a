package org.cellherd.store.codec;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/** Readings that no board would send all at once: holes, jumps, extremes, changing shapes. */
public final class WildReadings {
  private static final int[] EXTREMES = {
    0, 1, -1, Integer.MAX_VALUE, Integer.MIN_VALUE + 1, 33_000, 32_767, -32_768
  };

  private final Random random;

  /** A source with a seed. */
  public WildReadings(long seed) {
    random = new Random(seed);
  }

  /** Some readings with rising times from a start. */
  public List<Reading> rising(long startMs, int count) {
    List<Reading> readings = new ArrayList<>();
    long time = startMs;
    for (int i = 0; i < count; i++) {
      readings.add(reading(time));
      time += random.nextInt(20) == 0 ? random.nextInt(100_000) : 1000 + random.nextInt(9) - 4;
    }
    return readings;
  }

  /** One reading at a time; any part may be missing. */
  public Reading reading(long timeMs) {
    Reading.Builder b = Reading.at(timeMs);
    if (random.nextInt(10) != 0) {
      b.cells(CellVoltages.ofOptional(values(random.nextInt(5) == 0 ? random.nextInt(65) : 8)));
    }
    if (random.nextInt(10) != 0) {
      b.temperatures(
          Temperatures.ofOptional(values(random.nextInt(5) == 0 ? random.nextInt(65) : 3)));
    }
    if (random.nextInt(4) != 0) {
      b.currentMa(value()).packMv(value());
    }
    if (random.nextInt(3) != 0) {
      b.socTenthPct(random.nextInt(1001)).boardMah(value());
    }
    if (random.nextBoolean()) {
      b.bleedMask(random.nextLong()).boardAlarms(random.nextBoolean() ? 0 : random.nextLong());
    }
    if (random.nextBoolean()) {
      b.chargeSwitch(random.nextBoolean());
    }
    if (random.nextBoolean()) {
      b.dischargeSwitch(random.nextBoolean());
    }
    return b.build();
  }

  private OptionalInt[] values(int count) {
    OptionalInt[] values = new OptionalInt[count];
    for (int i = 0; i < count; i++) {
      values[i] = random.nextInt(6) == 0 ? OptionalInt.empty() : OptionalInt.of(value());
    }
    return values;
  }

  private int value() {
    return switch (random.nextInt(8)) {
      case 0 -> EXTREMES[random.nextInt(EXTREMES.length)];
      case 1 -> Math.max(Integer.MIN_VALUE + 1, random.nextInt());
      default -> 33_000 + random.nextInt(50) * 10;
    };
  }
}
