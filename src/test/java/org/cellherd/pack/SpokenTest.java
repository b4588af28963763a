package org.cellherd.pack;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.withinPercentage;

import java.math.BigDecimal;
import java.time.ZoneId;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

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

      assertThat(read(Spoken.low(value, decimals))).isLessThanOrEqualTo(exact);
      assertThat(read(Spoken.high(value, decimals))).isGreaterThanOrEqualTo(exact);
    }
  }

  /** A number as people read it: with a minus, not with a hyphen. */
  private static BigDecimal read(String spoken) {
    assertThat(spoken).doesNotContain("-");
    return new BigDecimal(spoken.replace('\u2212', '-'));
  }

  @Test
  void whatIsSaidOfADurationHoldsIt() {
    for (int run = 0; run < 20_000; run++) {
      long ms = (long) (random.nextDouble() * Math.pow(10, 3 + random.nextInt(8)));

      assertThat(ms(Spoken.longerThan(ms))).as("seed %d, %d ms", seed, ms).isLessThanOrEqualTo(ms);
      assertThat(ms(Spoken.shorterThan(ms)))
          .as("seed %d, %d ms", seed, ms)
          .isGreaterThanOrEqualTo(ms);
    }
  }

  private static long ms(String said) {
    String[] words = said.split(" ");
    Map<String, Long> units = Map.of("s", 1L, "min", 60L, "h", 3600L, "days", 86_400L);
    long unit = units.getOrDefault(words[1], 0L);
    return new BigDecimal(words[0]).multiply(BigDecimal.valueOf(unit * 1000)).longValueExact();
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

  @Test
  void significantDigitsNeedNoExponent() {
    for (int run = 0; run < 20_000; run++) {
      double value = Math.pow(10, -4 + 12 * random.nextDouble()) * (random.nextInt(3) - 1);
      int digits = 1 + random.nextInt(5);

      String said = Spoken.digits(value, digits);

      assertThat(said).as("seed %d, %s", seed, value).matches("\u2212?[0-9]+(\\.[0-9]+)?");
      assertThat(read(said).doubleValue())
          .as("seed %d, %s", seed, value)
          .isCloseTo(value, withinPercentage(50.001 * Math.pow(10, 1 - digits)));
    }
    assertThat(Spoken.digits(27, 4)).isEqualTo("27.00");
    assertThat(Spoken.digits(13_200, 4)).isEqualTo("13200");
  }

  @Test
  void timeIsSaidAsTheOwnersClockShowsIt() {
    ZoneId zone = ZoneId.of("Asia/Kolkata");
    long newYear = 1_767_225_600_000L;

    assertThat(SpokenTime.minute(newYear, zone)).isEqualTo("1 Jan 2026 05:30");
    assertThat(SpokenTime.near(newYear, newYear + 3_600_000, zone)).isEqualTo("05:30");
    assertThat(SpokenTime.near(newYear, newYear + 86_400_000, zone)).isEqualTo("1 Jan 2026 05:30");
  }

  @ParameterizedTest
  @CsvSource({"Etc/UTC,UTC", "Z,UTC", "+01:00,UTC+01:00", "Europe/Berlin,Europe/Berlin"})
  void aClockIsNamedAsPeopleDo(String id, String said) {
    assertThat(SpokenTime.clockOf(ZoneId.of(id))).isEqualTo(said);
  }
}
