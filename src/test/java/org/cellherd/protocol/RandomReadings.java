package org.cellherd.protocol;

import java.util.OptionalInt;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/** Readings by chance, for identities. */
final class RandomReadings {

  private RandomReadings() {}

  /** Anything that a log may hold: every part may be missing, but no last cell or sensor. */
  static Reading any(Random random, int cells, int sensors) {
    Reading.Builder b = Reading.at(1_700_000_000_000L + random.nextInt());
    b.cells(CellVoltages.ofOptional(row(random, random.nextInt(cells + 1), 0, 65_000)));
    b.temperatures(Temperatures.ofOptional(row(random, random.nextInt(sensors + 1), -600, 2100)));
    if (random.nextInt(10) > 0) {
      b.currentMa(random.nextInt());
    }
    if (random.nextInt(10) > 0) {
      b.packMv(random.nextInt(1_000_000) - 1000);
    }
    if (random.nextInt(10) > 0) {
      b.socTenthPct(random.nextInt(1100));
    }
    if (random.nextInt(10) > 0) {
      b.bleedMask(random.nextLong());
      b.boardAlarms(random.nextLong());
    }
    if (random.nextInt(10) > 0) {
      b.chargeSwitch(random.nextBoolean()).dischargeSwitch(random.nextBoolean());
    }
    if (random.nextInt(10) > 0) {
      b.boardMah(random.nextInt());
    }
    return b.build();
  }

  private static OptionalInt[] row(Random random, int count, int least, int most) {
    OptionalInt[] row = new OptionalInt[count];
    for (int i = 0; i < count; i++) {
      boolean missing = i < count - 1 && random.nextInt(8) == 0;
      row[i] =
          missing ? OptionalInt.empty() : OptionalInt.of(least + random.nextInt(most - least + 1));
    }
    return row;
  }
}
