package org.cellherd.store.codec;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class BlockCodecTest {

  private static final long T0 = 1_767_225_600_000L;

  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void anHourOfAPackComesBackBitForBit(boolean noisy) throws BlockDamaged {
    List<Reading> readings = new StorageDay(noisy, 1).readings(T0, 0, 3600);

    PackedBytes block = BlockCodec.encode(readings);

    assertThat(BlockCodec.decode(block, T0)).isEqualTo(readings);
  }

  @Test
  void aNoisyHourTakesLessThanTheEntropyOfItsDifferences() {
    // 0.229 bytes a sample is the zero-order entropy of the first differences of such a day.
    PackedBytes block = BlockCodec.encode(new StorageDay(true, 1).readings(T0, 0, 3600));

    assertThat(block.bytes().length / (3600.0 * 22)).isLessThan(0.20);
  }

  @Test
  void aQuietHourTakesLessThanTheEntropyOfItsDifferences() {
    PackedBytes block = BlockCodec.encode(new StorageDay(false, 1).readings(T0, 0, 3600));

    assertThat(block.bytes().length / (3600.0 * 22)).isLessThan(0.09);
  }

  @Test
  void anythingThatAReadingCanHoldComesBackBitForBit() throws BlockDamaged {
    for (int seed = 0; seed < 200; seed++) {
      List<Reading> readings = new WildReadings(seed).rising(T0, 1 + seed);

      assertThat(BlockCodec.decode(BlockCodec.encode(readings), T0)).isEqualTo(readings);
    }
  }

  @Test
  void timesMayGoBackAndFarAway() throws BlockDamaged {
    List<Reading> readings =
        List.of(at(5), at(5), at(-9_000_000_000L), at(Long.MAX_VALUE), at(Long.MIN_VALUE), at(0));

    assertThat(BlockCodec.decode(BlockCodec.encode(readings), 5)).isEqualTo(readings);
  }

  @Test
  void aLongQuietBlockComesBack() throws BlockDamaged {
    List<Reading> readings =
        IntStream.range(0, BlockCodec.MAX_READINGS).mapToObj(i -> at(i)).toList();

    PackedBytes block = BlockCodec.encode(readings);

    assertThat(BlockCodec.decode(block, 0)).isEqualTo(readings);
    assertThat(block.bytes().length).isLessThan(100);
  }

  @Test
  void aBlockCutShortIsRefused() throws BlockDamaged {
    byte[] whole = BlockCodec.encode(new StorageDay(true, 2).readings(T0, 0, 60)).bytes();

    for (int length = 0; length < whole.length - 4; length++) {
      PackedBytes cut = new PackedBytes(Arrays.copyOf(whole, length));
      assertThatThrownBy(() -> BlockCodec.decode(cut, T0)).isInstanceOf(BlockDamaged.class);
    }
  }

  @Test
  void anyBytesGiveReadingsOrARefusal() {
    Random random = new Random(4);
    byte[] whole = BlockCodec.encode(new WildReadings(3).rising(T0, 40)).bytes();
    for (int round = 0; round < 2000; round++) {
      byte[] bytes = round % 2 == 0 ? whole.clone() : new byte[random.nextInt(200)];
      if (round % 2 == 0) {
        bytes[random.nextInt(bytes.length)] ^= (byte) (1 << random.nextInt(8));
      } else {
        random.nextBytes(bytes);
      }
      assertThat(readingsOrRefusal(bytes)).isBetween(-1, BlockCodec.MAX_READINGS);
    }
  }

  static int readingsOrRefusal(byte[] bytes) {
    try {
      return BlockCodec.decode(new PackedBytes(bytes), T0).size();
    } catch (BlockDamaged e) {
      return -1;
    }
  }

  private static Reading at(long timeMs) {
    return Reading.at(timeMs).cells(CellVoltages.ofMv(3300, 3301)).build();
  }
}
