package org.cellherd.store.codec;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

class BlockCodecTest {

  private static final long T0 = 1_767_225_600_000L;

  @Test
  void anHourOfANoisyPackComesBackBitForBit() throws BlockDamaged {
    for (boolean noisy : new boolean[] {true, false}) {
      StorageDay day = new StorageDay(noisy, 1);
      for (int hour = 0; hour < 24; hour += 6) {
        List<Reading> readings = day.readings(T0, hour * 3600, 3600);

        long t = System.nanoTime();
        Packed block = BlockCodec.encode(readings);
        long t2 = System.nanoTime();
        List<Reading> back = BlockCodec.decode(block, T0 + hour * 3600_000L);
        long t3 = System.nanoTime();
        System.out.printf(
            "noisy %s hour %d: %d B, %.4f B/sample, enc %d ms dec %d ms, ten rows %d%n",
            noisy,
            hour,
            block.bytes().length,
            block.bytes().length / 3600.0 / 22,
            (t2 - t) / 1000000,
            (t3 - t2) / 1000000,
            BlockCodec.encode(readings.subList(0, 10)).bytes().length);
        assertThat(back).isEqualTo(readings);
      }
    }
  }
}
