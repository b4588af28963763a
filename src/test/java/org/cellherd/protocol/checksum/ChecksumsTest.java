package org.cellherd.protocol.checksum;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Random;
import java.util.zip.CRC32;
import java.util.zip.CRC32C;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

class ChecksumsTest {

  private static final byte[] NINE = "123456789".getBytes(StandardCharsets.US_ASCII);

  /** Check values of the public catalogue of parametrised CRC algorithms, and plain sums. */
  @ParameterizedTest
  @CsvSource({
    "CRC-16/MODBUS,4B37",
    "CRC-16/ARC,BB3D",
    "CRC-16/XMODEM,31C3",
    "CRC-16/IBM-3740,29B1",
    "CRC-16/KERMIT,2189",
    "CRC-16/IBM-SDLC,906E",
    "CRC-16/USB,B4C8",
    "CRC-16/UMTS,FEE8",
    "CRC-16/CMS,AEE7",
    "CRC-16/MCRF4XX,6F91",
    "CRC-8/SMBUS,F4",
    "CRC-8/MAXIM-DOW,A1",
    "CRC-8/SAE-J1850,4B",
    "CRC-32/ISO-HDLC,CBF43926",
    "CRC-32/BZIP2,FC891918",
    "CRC-32/MPEG-2,0376E6E7",
    "CRC-32/ISCSI,E3069283",
    "SUM8,DD",
    "SUM8-ONES,22",
    "SUM8-TWOS,23",
    "SUM16,01DD",
    "SUM16-ONES,FE22",
    "SUM16-TWOS,FE23",
    "XOR8,31"
  })
  void publishedCheckValueOverNineDigits(String name, String check) {
    Checksum checksum = Checksums.named(name).orElseThrow();

    assertThat(checksum.over(NINE)).isEqualTo(Long.parseLong(check, 16));
  }

  @Test
  void modbusResidueOverAFrameWithItsCheckIsZero() {
    byte[] frame = {0x01, 0x03, 0, 0, 0, 0x02, (byte) 0xC4, 0x0B};

    assertThat(Checksums.named("crc-16/modbus").orElseThrow().over(frame)).isZero();
  }

  @Test
  void agreesWithTheRuntimesOwnCrcs() {
    Random random = new Random(1);
    for (int i = 0; i < 100; i++) {
      byte[] bytes = new byte[random.nextInt(300)];
      random.nextBytes(bytes);
      CRC32 crc32 = new CRC32();
      crc32.update(bytes);
      CRC32C crc32c = new CRC32C();
      crc32c.update(bytes);

      assertThat(Checksums.named("crc-32").orElseThrow().over(bytes)).isEqualTo(crc32.getValue());
      assertThat(Checksums.named("crc-32c").orElseThrow().over(bytes)).isEqualTo(crc32c.getValue());
    }
  }

  @Test
  void reflectionInAndOutMayDiffer() {
    Crc mixed = new Crc("mixed", new Crc.Parameters(16, 0x1021, 0, true, false, 0));
    Crc plain = new Crc("plain", new Crc.Parameters(16, 0x1021, 0, true, true, 0));

    int reversed = Integer.reverse((int) plain.over(NINE)) >>> 16;
    assertThat(mixed.over(NINE)).isEqualTo(reversed);
  }

  /** Any parameters, any part of an array, against the definition: a division, bit by bit. */
  @Test
  void anyParametersDivideAsTheyAreDefined() {
    Random random = new Random(2);
    for (int run = 0; run < 400; run++) {
      int width = 8 * (1 + random.nextInt(4));
      long mask = (1L << width) - 1;
      boolean reflectIn = random.nextBoolean();
      boolean reflectOut = random.nextBoolean();
      long init = random.nextLong() & mask;
      Crc.Parameters drawn =
          new Crc.Parameters(
              width,
              (random.nextLong() & mask) | 1,
              init,
              reflectIn,
              reflectOut,
              random.nextLong() & mask);
      byte[] data = new byte[random.nextInt(20)];
      random.nextBytes(data);
      int from = random.nextInt(data.length + 1);
      int to = from + random.nextInt(data.length - from + 1);
      Crc crc = new Crc("drawn", drawn);
      long other = random.nextLong() & mask;

      assertThat(crc.over(data, from, to))
          .as("run %d, %s", run, crc)
          .isEqualTo(divided(drawn, init, Arrays.copyOfRange(data, from, to)));
      assertThat(crc.begunWith(other, data)).isEqualTo(divided(drawn, other, data));
      assertThat(crc.bytes()).isEqualTo(width / 8);
      assertThat(crc.described()).contains("drawn (width " + width + ", poly");
    }
  }

  private static long divided(Crc.Parameters by, long init, byte[] data) {
    long register = init;
    long top = 1L << (by.width() - 1);
    for (int bit = 0; bit < 8 * data.length; bit++) {
      int shift = by.reflectIn() ? bit % 8 : 7 - bit % 8;
      boolean isIn = (data[bit / 8] >> shift & 1) != 0;
      boolean isOut = (register & top) != 0;
      register = (register << 1) & ((top << 1) - 1);
      register ^= isIn == isOut ? 0 : by.poly();
    }
    if (by.reflectOut()) {
      register = Long.reverse(register) >>> (64 - by.width());
    }
    return register ^ by.xorOut();
  }

  @ParameterizedTest
  @ValueSource(ints = {7, 9, 12, 40})
  void aWidthThatIsNoWholeByteIsRefused(int width) {
    assertThatThrownBy(() -> new Crc.Parameters(width, 7, 0, false, false, 0))
        .hasMessage("width " + width + ", allowed 8, 16, 24, 32");
  }

  /** The seed that is worked out for a value gives that value, in each form of sum. */
  @ParameterizedTest
  @EnumSource
  void aSeedIsFoundForAnyValue(Sum sum) {
    Random random = new Random(3);
    for (int run = 0; run < 100; run++) {
      byte[] data = new byte[1 + random.nextInt(20)];
      random.nextBytes(data);
      long value = random.nextInt(sum.bytes() == 1 ? 0x100 : 0x1_0000);

      long seed = sum.seedFor(value, sum.over(data));
      Sum.Seeded seeded = new Sum.Seeded(sum, seed);

      assertThat(seeded.over(data)).isEqualTo(value);
      assertThat(sum.begunWith(seed, data)).isEqualTo(value);
      assertThat(seeded.begunWith(0, data)).isEqualTo(sum.over(data));
      assertThat(seeded.bytes()).isEqualTo(sum.bytes());
      assertThat(seed).isBetween(0L, sum.bytes() == 1 ? 0xFFL : 0xFFFFL);
    }
    assertThat(new Sum.Seeded(sum, 0xA).described())
        .isEqualTo(sum.word() + (sum.bytes() == 1 ? " begun with 0A" : " begun with 000A"));
  }

  @Test
  void unknownNamesAreNotFound() {
    assertThat(Checksums.named("crc-17")).isEmpty();
  }
}
