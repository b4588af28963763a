package org.cellherd.protocol;

import java.util.Random;
import java.util.stream.IntStream;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/** Whole readings of 16 cells that every shipped board can tell. */
final class PlausibleReadings {

  private PlausibleReadings() {}

  static Reading any(Random random) {
    int[] cells = IntStream.range(0, 16).map(i -> 25_000 + random.nextInt(12_000)).toArray();
    int[] temperatures = IntStream.range(0, 4).map(i -> random.nextInt(900) - 300).toArray();
    return Reading.at(1_700_000_000_000L)
        .cells(CellVoltages.ofTenthMv(cells))
        .temperatures(Temperatures.ofTenthC(temperatures))
        .currentMa(random.nextInt(200_000) - 100_000)
        .packMv(random.nextInt(60_000))
        .socTenthPct(random.nextInt(1001))
        .bleedMask(random.nextInt(1 << 16))
        .chargeSwitch(random.nextBoolean())
        .dischargeSwitch(random.nextBoolean())
        .boardMah(random.nextInt(600_000))
        .boardAlarms(random.nextInt(1 << 16))
        .build();
  }
}
