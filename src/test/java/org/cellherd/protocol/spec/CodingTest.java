package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HexFormat;
import java.util.OptionalLong;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class CodingTest {

  /** Registers 47F1 2000 are 123456.0 in the order ABCD (documentation of libmodbus). */
  @ParameterizedTest
  @CsvSource({"BIG,47F12000", "CDAB,200047F1", "BADC,F1470020", "LITTLE,0020F147"})
  void aFloatStandsInFourWordOrders(WordOrder order, String hex) {
    Coding coding = Coding.ofBytes(Coding.Type.FLOAT, 4, order);
    byte[] bytes = HexFormat.of().parseHex(hex);

    assertThat(coding.number(coding.read(bytes, 0).orElseThrow())).isEqualTo(123456.0);

    byte[] written = new byte[4];
    coding.write(written, 0, coding.raw(123456.0));
    assertThat(written).isEqualTo(bytes);
  }

  @ParameterizedTest
  @CsvSource({
    "UNSIGNED,FF83,65411",
    "SIGNED,FF83,-125",
    "MAGNITUDE,8083,-131",
    "MAGNITUDE,0083,131",
    "BCD,0873,873",
    "DECIMAL_DIGITS,3837,87",
    "HEX_DIGITS,4637,247"
  })
  void aNumberStandsInItsKind(Coding.Type type, String hex, long value) {
    Coding coding = Coding.ofBytes(type, 2, WordOrder.BIG);
    byte[] bytes = HexFormat.of().parseHex(hex);

    assertThat(coding.read(bytes, 0)).hasValue(value);

    byte[] written = new byte[2];
    coding.write(written, 0, value);
    assertThat(written).isEqualTo(bytes);
  }

  @Test
  void digitsThatAreNoneGiveNoNumber() {
    byte[] bytes = {0x0A, 0x30};

    assertThat(Coding.ofBytes(Coding.Type.BCD, 2, WordOrder.BIG).read(bytes, 0)).isEmpty();
    assertThat(Coding.ofBytes(Coding.Type.DECIMAL_DIGITS, 2, WordOrder.BIG).read(bytes, 0))
        .isEmpty();
  }

  @Test
  void whatIsWrittenIsReadBackInEveryKindAndOrder() {
    Random random = new Random(5);
    for (Coding.Type type :
        new Coding.Type[] {
          Coding.Type.UNSIGNED, Coding.Type.SIGNED, Coding.Type.MAGNITUDE, Coding.Type.BCD
        }) {
      for (WordOrder order : WordOrder.values()) {
        for (int bytes : new int[] {2, 4, 8}) {
          Coding coding = Coding.ofBytes(type, bytes, order);
          byte[] data = new byte[bytes];
          for (int i = 0; i < 50; i++) {
            random.nextBytes(data);
            OptionalLong raw = coding.read(data, 0);
            if (raw.isPresent()) {
              byte[] again = new byte[bytes];
              coding.write(again, 0, raw.getAsLong());
              boolean minusZero = type == Coding.Type.MAGNITUDE && raw.getAsLong() == 0;
              assertThat(minusZero ? data : again).as("%s", coding).isEqualTo(data);
            }
          }
        }
      }
    }
  }

  @Test
  void whatDoesNotFitIsCutToTheNearest() {
    byte[] out = new byte[1];
    Coding.ofBytes(Coding.Type.SIGNED, 1, WordOrder.BIG).write(out, 0, 400);
    assertThat(out[0]).isEqualTo((byte) 127);

    Coding.ofBytes(Coding.Type.UNSIGNED, 1, WordOrder.BIG).write(out, 0, -3);
    assertThat(out[0]).isZero();
  }
}
