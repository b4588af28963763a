package org.cellherd.pack;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Numbers as they are said, of drawn values; repeat a draw by its seed. */
final class SpokenTest {

  private final long seed = Long.getLong("cellherd.seed", System.nanoTime());
  private final Random random = new Random(seed);

  @Test
  void boundsAreRoundedOutward() {
    for (int run = 0; run < 20_000; run++) {
      double value = (random.nextDouble() - 0.5) * Math.pow(10, random.nextInt(6));
      int decimals = random.nextInt(4);
      BigDecimal exact = BigDecimal.valueOf(value);

      assertThat(new BigDecimal(Spoken.low(value, decimals))).isLessThanOrEqualTo(exact);
      assertThat(new BigDecimal(Spoken.high(value, decimals))).isGreaterThanOrEqualTo(exact);
    }
  }

  @Test
  void nothingIsNeverBelowNothingAndThePointIsAPointEverywhere() {
    Locale usual = Locale.getDefault();
    Locale.setDefault(Locale.GERMANY);
    try {
      for (int run = 0; run < 20_000; run++) {
        double value = (random.nextDouble() - 0.5) * Math.pow(10, random.nextInt(6) - 3);
        for (String said :
            new String[] {
              Spoken.volts(value),
              Spoken.packVolts(value),
              Spoken.amps(value),
              Spoken.celsius(value),
              Spoken.number(value, random.nextInt(4)),
              Spoken.high(value, 1)
            }) {
          assertThat(said).as("seed %d, %s", seed, value).doesNotMatch("-0(\\.0*)?( .*)?");
          assertThat(said).as("seed %d, %s", seed, value).doesNotContain(",");
        }
      }
    } finally {
      Locale.setDefault(usual);
    }
  }
}
