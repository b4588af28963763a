package org.cellherd.store.codec;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;

/** Any bytes give at most as many readings as a block may hold, or a refusal; never more. */
class BlockCodecFuzzTest {

  @FuzzTest
  void anyBytesGiveReadingsOrARefusal(byte[] bytes) {
    assertThat(BlockCodecTest.readingsOrRefusal(bytes)).isLessThanOrEqualTo(1 << 14);
  }
}
