package org.cellherd.alert.state;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import java.util.Random;
import java.util.function.UnaryOperator;
import org.cellherd.alert.Alert;
import org.cellherd.pack.Facts;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What a restart reads out of a log, whatever the runs before said around it. */
class AlertTextTest {

  private static final long NOW_MS = 1_768_064_400_000L;
  private static final Pulse NOW = new Pulse(NOW_MS, 0, 0, 0, 1, true, ZoneOffset.UTC);

  private final Words words =
      Words.of("Cell 3 is high at 3.612 V, as of its sensor", "", Facts.NONE);

  private String eased(Random drawn) {
    String valueNow = drawn.nextBoolean() ? "" : "3.455 V";
    Alert.Peak peak =
        new Alert.Peak(words.what(), someMs(drawn), drawn.nextInt(90_000_000), NOW_MS);
    String was =
        switch (drawn.nextInt(3)) {
          case 0 -> AlertText.was(peak, someMs(drawn), NOW);
          case 1 -> AlertText.was(words, peak.lastedMs(), someMs(drawn), NOW);
          default -> AlertText.was(AlertText.holds(words, NOW_MS, NOW));
        };
    return AlertText.eased(someMs(drawn), valueNow, NOW) + was;
  }

  private static long someMs(Random drawn) {
    return NOW_MS - drawn.nextInt(400_000_000);
  }

  private static String time(Random drawn) {
    return AlertText.time(someMs(drawn), NOW_MS, ZoneOffset.UTC);
  }

  @ParameterizedTest
  @CsvSource({"2,2nd", "3,3rd", "4,4th", "11,11th", "12,12th", "21,21st", "23,23rd", "113,113th"})
  void timesAreCountedAsPeopleSayThem(long times, String ordinal) {
    assertThat(AlertText.ordinal(times)).isEqualTo(ordinal);
  }

  /** The charge may have ended since. */
  @ParameterizedTest
  @ValueSource(strings = {AlertText.CHARGE_AHEAD, AlertText.LOAD_AHEAD})
  void whatNobodyConfirmsTellsNothingOfWhatIsAhead(String premise) {
    String ahead = premise + " it is at 3.650 V in about 17 min.";
    Words rising = new Words(words.what(), ahead, "Its sensor is off.", "", Facts.NONE);
    String said = AlertText.holds(rising, NOW_MS, NOW);

    assertThat(said).contains(ahead);
    assertThat(AlertText.read(said, NOW_MS, NOW_MS + 46_000, ZoneOffset.UTC))
        .startsWith(words.what())
        .doesNotContain("about 17 min")
        .contains("Its sensor is off. Not confirmed since");
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void whatRunsSaidAroundItIsTakenOff(long seed) {
    Random drawn = new Random(seed);
    for (int i = 0; i < 200; i++) {
      String plain = AlertText.holds(words, NOW_MS, NOW);
      boolean isEased = drawn.nextBoolean();
      String said = isEased ? eased(drawn) : plain;
      boolean isOwn = isEased && !said.contains("Before that");
      Alert.ClockError clock =
          new Alert.ClockError(drawn.nextInt(3) > 0 ? 0 : drawn.nextLong() >> 24);
      said = drawn.nextBoolean() ? clock.in(said) : said;
      boolean isClockSaid = said.contains("by a clock");
      said += drawn.nextBoolean() ? new Recurred(2 + drawn.nextInt(9)).words(someMs(drawn)) : "";
      for (int runs = drawn.nextInt(3); runs > 0; runs--) {
        UnaryOperator<String> doubt =
            drawn.nextBoolean()
                ? s -> s + AlertText.unconfirmed(time(drawn))
                : s -> AlertText.asOf(time(drawn), s);
        said = doubt.apply(said);
      }
      said = drawn.nextBoolean() || isClockSaid ? said : AlertText.withUnits(said, 3, "a4 and b1");
      said = isClockSaid || drawn.nextBoolean() ? said : clock.in(said);

      assertThat(AlertText.bare(said))
          .as("seed %d: %s", seed, said)
          .isEqualTo(
              (isOwn ? "cell 3 is high at 3.612 V, as of its sensor." : plain)
                  + (said.contains("by a clock") ? clock.in("") : ""));
    }
  }

  /** Said of what came that often. */
  private record Recurred(int times) {
    String words(long firstMs) {
      Recurrence recurrence = new Recurrence(false);
      recurrence.begin();
      for (int i = 0; i < times; i++) {
        recurrence.again(firstMs);
      }
      return recurrence.words(true, NOW);
    }
  }
}
