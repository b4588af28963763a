package org.cellherd.analysis.state;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HexFormat;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class StateWriterTest {

  /** Zigzag and varint of the Protocol Buffers wire format, from memory, recomputed. */
  @ParameterizedTest
  @CsvSource({
    "0, 00",
    "-1, 01",
    "1, 02",
    "-2, 03",
    "63, 7e",
    "-64, 7f",
    "64, 8001",
    "-65, 8101",
    "75, 9601",
    "150, ac02",
    "3312, e033",
    "2147483647, feffffff0f",
    "-2147483648, ffffffff0f",
  })
  void wholeNumbersAreZigzagVarints(long value, String bytes) {
    byte[] written = new StateWriter().putLong(value).toBytes();

    assertThat(HexFormat.of().formatHex(written)).isEqualTo(bytes);
    assertThat(new StateReader(written).getLong()).isEqualTo(value);
  }

  @ParameterizedTest
  @ValueSource(longs = {Long.MIN_VALUE, Long.MAX_VALUE, Long.MIN_VALUE + 1})
  void theGreatestNumbersComeBack(long value) {
    byte[] written = new StateWriter().putLong(value).toBytes();

    assertThat(written).hasSize(10);
    assertThat(new StateReader(written).getLong()).isEqualTo(value);
  }

  @Test
  void doublesComeBackBitForBit() {
    double[] values = {0.0, -0.0, Double.MIN_VALUE, Double.NaN, Double.NEGATIVE_INFINITY, 0.1};
    StateWriter out = new StateWriter();
    for (double value : values) {
      out.putDouble(value);
    }

    StateReader in = new StateReader(out.toBytes());
    for (double value : values) {
      assertThat(Double.doubleToRawLongBits(in.getDouble()))
          .isEqualTo(Double.doubleToRawLongBits(value));
    }
  }
}
