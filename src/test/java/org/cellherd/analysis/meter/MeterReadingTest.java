package org.cellherd.analysis.meter;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.RepetitionInfo;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A reading goes into a note and comes back the same; any other note is only a note. */
class MeterReadingTest {

  @RepeatedTest(100)
  void whatIsWrittenIsReadBack(RepetitionInfo run) {
    SplittableRandom random = new SplittableRandom(run.getCurrentRepetition() * 104_729L);
    MeterReading.Quantity quantity =
        List.of(MeterReading.Quantity.values())
            .get(random.nextInt(MeterReading.Quantity.values().length));
    long atMs = 1_750_000_000_000L + random.nextLong(1_000_000_000_000L);
    MeterReading reading =
        new MeterReading(
            quantity,
            quantity.isNumbered() ? random.nextInt(1, 33) : 0,
            random.nextInt(-900_000, 900_000) / 1000.0,
            new MeterReading.Accuracy(
                random.nextInt(0, 200) / 100.0, random.nextInt(1, 5000) / 10_000.0),
            quantity.isCounted() ? atMs - random.nextLong(1, 100_000_000) : atMs,
            atMs);

    assertThat(MeterReading.of(reading.text(), atMs)).contains(reading);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "Meter: current 4.2 A",
        "Meter: current 4.2 V within 1 %",
        "Meter: cell 3.3 V within 1 %",
        "Meter: cell 0 3.3 V within 1 %",
        "Meter: current 4.2 A within about 1 %",
        "Meter: charge 4.2 Ah within 1 %",
        "Meter: charge 4.2 Ah within 1 % from 2026-03-01T00:00:00Z to 2026-02-01T00:00:00Z",
        "Meter: current 4.2 A within 99999 %",
        "meter: current 4.2 A within 1 %",
        "Meter: current 4.2 A within 1 % and more"
      })
  void anotherTextIsAnOrdinaryNote(String text) {
    assertThat(MeterReading.of(text, 0)).isEmpty();
  }

  @Test
  void anAccuracyIsWrittenAsOnTheSheet() {
    assertThat(MeterReading.Accuracy.of("0.5 % + 2 mV", "V").errorAt(-3.2))
        .isCloseTo(0.018, within(1e-12));
    assertThat(MeterReading.Accuracy.of("1.5%+0.03A", "A").errorAt(10))
        .isCloseTo(0.18, within(1e-12));
    assertThat(MeterReading.Accuracy.of("20 mA", "A").errorAt(10)).isCloseTo(0.02, within(1e-12));
    assertThat(MeterReading.Accuracy.of("0.5 \u00b0C", "degC").errorAt(10))
        .isCloseTo(0.5, within(1e-12));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"", "good", "0", "2 mV", "-1 %", "0 %", "21 %", "1 % +", "1 % + 2", "1e3 %"})
  void whatIsNoAccuracyOfACurrentIsRefusedWithWhatWouldBeRight(String text) {
    assertThatThrownBy(() -> MeterReading.Accuracy.of(text, "A"))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("accuracy");
  }
}
