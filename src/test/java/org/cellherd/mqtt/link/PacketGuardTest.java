package org.cellherd.mqtt.link;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PacketGuardTest {

  private static byte[] packets(int... lengths) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (int length : lengths) {
      out.write(0x30);
      int rest = length;
      do {
        out.write(rest >= 128 ? (rest % 128) | 0x80 : rest);
        rest /= 128;
      } while (rest > 0);
      if (length <= PacketGuard.LONGEST_CUT) {
        out.write(new byte[length]);
      }
    }
    return out.toByteArray();
  }

  private static byte[] through(byte[] bytes, int chunk) throws IOException {
    PacketGuard guard = new PacketGuard(new ByteArrayInputStream(bytes));
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    byte[] buffer = new byte[chunk];
    for (int n = guard.read(buffer, 0, chunk); n >= 0; n = guard.read(buffer, 0, chunk)) {
      out.write(buffer, 0, n);
    }
    return out.toByteArray();
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 7, 128, 4096})
  void packetsWithinTheLimitPassUnchangedAtEveryChunkSize(int chunk) throws IOException {
    byte[] bytes = packets(0, 1, 127, 128, 129, 16_383, 16_384, 0, 5);

    assertThat(through(bytes, chunk)).isEqualTo(bytes);
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 7, 128, 4096})
  void tooLongMessageLosesItsEndAndTheNextPassesWhole(int chunk) throws IOException {
    byte[] bytes = packets(5, 1_000_000, 7, PacketGuard.LONGEST + 1, 0);

    assertThat(through(bytes, chunk))
        .isEqualTo(packets(5, PacketGuard.LONGEST, 7, PacketGuard.LONGEST, 0));
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 7, 128, 4096})
  void longerPacketIsRefusedAtItsHeader(int chunk) throws IOException {
    byte[] message = packets(5, 0, PacketGuard.LONGEST_CUT + 1);
    byte[] other = packets(PacketGuard.LONGEST + 1);
    other[0] = (byte) 0x90;

    assertThatThrownBy(() -> through(message, chunk))
        .isInstanceOf(PacketGuard.TooLong.class)
        .hasMessageContaining("longer than 4 MiB");
    assertThatThrownBy(() -> through(other, chunk)).isInstanceOf(PacketGuard.TooLong.class);
  }

  @Test
  void lengthWithoutEndIsRefused() {
    byte[] bytes = {0x30, (byte) 0x80, (byte) 0x80, (byte) 0x80, (byte) 0x80, (byte) 0x80, 1};

    assertThatThrownBy(() -> through(bytes, 1)).isInstanceOf(PacketGuard.TooLong.class);
  }
}
