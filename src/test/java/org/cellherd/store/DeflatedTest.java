package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

class DeflatedTest {

  @Test
  void everyLengthComesBackAsItWas() {
    Random random = new Random(11);
    for (int length = 0; length < 300; length++) {
      byte[] plain = new byte[length];
      random.nextBytes(plain);

      assertThat(Deflated.plain(Deflated.of(plain))).contains(plain);
    }
  }

  @Test
  void cutOrStrangeBytesAreRefusedNotThrown() {
    byte[] deflated = Deflated.of(new byte[5000]);
    for (int length = 0; length < deflated.length - 4; length++) {
      assertThat(Deflated.plain(Arrays.copyOf(deflated, length))).isEmpty();
    }
    assertThat(Deflated.plain("no state at all".getBytes(StandardCharsets.US_ASCII))).isEmpty();
  }

  @Test
  void bombIsRefusedAtABoundedSize() {
    assertThat(Deflated.plain(Deflated.of(new byte[Deflated.MOST_BYTES + 1]))).isEmpty();
  }
}
