package org.cellherd.protocol.checksum;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.Random;
import java.util.zip.CRC32;
import java.util.zip.CRC32C;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

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

  @Test
  void unknownNamesAreNotFound() {
    assertThat(Checksums.named("crc-17")).isEmpty();
  }
}
