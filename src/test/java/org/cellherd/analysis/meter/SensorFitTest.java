package org.cellherd.analysis.meter;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.stream.LongStream;
import org.cellherd.analysis.BoardCount;
import org.cellherd.analysis.CurrentFit;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.SensorErrors;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Sensors and meters with drawn errors: what is concluded holds what was drawn. */
class SensorFitTest {

  private static final double RATED_AH = 100;

  static LongStream seeds() {
    return LongStream.range(0, 300);
  }

  /** A board and what it prints of the truth; three of four are as boards usually are. */
  private record Drawn(SplittableRandom random, double offsetA, double gain, boolean isUsual) {
    static Drawn of(long seed) {
      SplittableRandom random = new SplittableRandom(seed * 7919 + 17);
      boolean isUsual = random.nextInt(4) > 0;
      double offset = isUsual ? 0.2 : 2;
      double gain = isUsual ? 0.02 : 0.1;
      return new Drawn(
          random, random.nextDouble(-offset, offset), 1 + random.nextDouble(-gain, gain), isUsual);
    }

    Compared any() {
      boolean isCounted = random.nextBoolean();
      double hours = isCounted ? random.nextDouble(0.5, 20) : 1;
      double truth = random.nextInt(4) == 0 ? 0 : random.nextDouble(-60, 60);
      double boardError = random.nextDouble(0.005, 0.2);
      double printed = gain * truth + offsetA * hours + random.nextDouble(-boardError, boardError);
      MeterReading.Accuracy accuracy =
          new MeterReading.Accuracy(random.nextDouble(0.1, 3), random.nextDouble(0.001, 0.05));
      // The sheet's share is of what is shown, which may be less than the truth.
      double error = accuracy.errorAt(truth) / (1 + accuracy.percent() / 100);
      MeterReading meter =
          new MeterReading(
              isCounted ? MeterReading.Quantity.CHARGE : MeterReading.Quantity.CURRENT,
              0,
              truth + random.nextDouble(-error, error),
              accuracy,
              0,
              isCounted ? Math.round(hours * 3_600_000) : 0);
      return new Compared(meter, Optional.of(new BoardCount(printed, boardError, hours)));
    }
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void anyReadingsLeaveTheTruthInsideAndNeverWiden(long seed) {
    Drawn drawn = Drawn.of(seed);
    List<Compared> readings = new ArrayList<>();
    double width = Double.POSITIVE_INFINITY;
    for (int i = 0; i < 6; i++) {
      readings.add(drawn.any());
      SensorErrors found = SensorFit.of(readings, RATED_AH);
      assertThat(found.contradictions()).as("seed %d", seed).isEmpty();
      if (drawn.isUsual()) {
        CurrentFit error = found.current().orElseThrow();
        assertHolds(error, drawn, seed);
        Interval now = error.gain();
        assertThat(now.high() - now.low()).isLessThanOrEqualTo(width + 1e-12);
        width = now.high() - now.low();
      }
    }
  }

  private static void assertHolds(CurrentFit error, Drawn drawn, long seed) {
    assertThat(error.offsetA().holds(drawn.offsetA())).as("offset, seed %d", seed).isTrue();
    assertThat(error.gain().holds(drawn.gain())).as("gain, seed %d", seed).isTrue();
    double hours = drawn.random().nextDouble(0, 30);
    double trueAh = drawn.random().nextDouble(-100, 100);
    Interval ah = error.trueAh(drawn.gain() * trueAh + drawn.offsetA() * hours, hours);
    assertThat(trueAh).as("seed %d", seed).isBetween(ah.low() - 1e-9, ah.high() + 1e-9);
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void whatIsLeftAfterTheCorrectionHoldsTheTruth(long seed) {
    Drawn drawn = Drawn.of(seed);
    SensorErrors found = SensorFit.of(List.of(drawn.any(), drawn.any()), RATED_AH);
    double trueA = drawn.random().nextDouble(0.5, 60);
    int printedMa = (int) Math.round(1000 * (drawn.gain() * trueA + drawn.offsetA()));

    Reading corrected = found.corrected(Reading.at(0).currentMa(printedMa).build());

    Interval truth =
        found.remaining().orElseThrow().trueAh(corrected.currentMa().orElseThrow() / 1000.0, 1);
    if (drawn.isUsual()) {
      assertThat(trueA).as("seed %d", seed).isBetween(truth.low() - 0.002, truth.high() + 0.002);
    }
  }

  @Test
  void readingsThatNoSensorCanExplainCountForNothingAndAreNamed() {
    MeterReading.Accuracy good = new MeterReading.Accuracy(0.5, 0.01);
    List<Compared> readings =
        List.of(
            new Compared(
                new MeterReading(MeterReading.Quantity.CURRENT, 0, 10, good, 0, 0),
                Optional.of(new BoardCount(-10, 0.02, 1))),
            new Compared(
                new MeterReading(MeterReading.Quantity.CELL, 2, 3.3, good, 0, 0),
                Optional.of(new BoardCount(3.1, 0.002, 1))));

    SensorErrors found = SensorFit.of(readings, RATED_AH);

    assertThat(found.contradictions()).containsExactly("cell 2", "current");
    Reading reading = Reading.at(0).currentMa(5000).cells(CellVoltages.ofMv(3300, 3300)).build();
    assertThat(found.corrected(reading)).isEqualTo(reading);
  }

  @Test
  void anInputIsCorrectedOnlyWhereItCannotBeRight() {
    Reading reading = Reading.at(0).cells(CellVoltages.ofMv(3318, 3318)).build();

    assertThat(read(0.004).corrected(reading))
        .isEqualTo(Reading.at(0).cells(CellVoltages.ofMv(3300, 3318)).build());
    assertThat(read(0.016).corrected(reading)).isEqualTo(reading);
  }

  /** A meter reads 3.300 V within an error where the board prints 3.318 V. */
  private static SensorErrors read(double error) {
    MeterReading meter =
        new MeterReading(
            MeterReading.Quantity.CELL, 1, 3.3, new MeterReading.Accuracy(0, error), 0, 0);
    return SensorFit.of(
        List.of(new Compared(meter, Optional.of(new BoardCount(3.318, 0.0005, 1)))), RATED_AH);
  }

  /** A divider off by a share, a sensor off by some kelvin; both meters within what they say. */
  @ParameterizedTest
  @MethodSource("seeds")
  void packVoltageAndTemperatureComeOutWithinWhatTheMetersLeaveOpen(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double gain = 1 + random.nextDouble(-0.04, 0.04);
    double kelvin = random.nextDouble(-10, 10);
    List<Compared> readings = new ArrayList<>();
    for (int i = 0; i < 3; i++) {
      double volts = random.nextDouble(44, 58);
      double celsius = random.nextDouble(-10, 45);
      readings.add(compared(random, MeterReading.Quantity.PACK, volts, 0.05, gain * volts, 0.01));
      readings.add(
          compared(random, MeterReading.Quantity.TEMPERATURE, celsius, 1, celsius + kelvin, 0.5));
    }
    SensorErrors found = SensorFit.of(readings, RATED_AH);
    int packMv = (int) Math.round(52_000 * gain);
    int tenthC = (int) Math.round(10 * (20 + kelvin));

    Reading corrected =
        found.corrected(
            Reading.at(0).packMv(packMv).temperatures(Temperatures.ofTenthC(tenthC)).build());

    assertThat(found.contradictions()).isEmpty();
    assertThat(found.packGain().orElseThrow().holds(gain)).as("seed %d", seed).isTrue();
    assertThat(found.kelvin()).as("seed %d", seed).hasSize(1);
    found.kelvin().values().forEach(error -> assertThat(error.holds(kelvin)).isTrue());
    // What a right board may be off by stays, and what the meters leave open.
    assertThat(corrected.packMv().orElseThrow() / 52_000.0).isBetween(0.992, 1.008);
    assertThat(corrected.temperatures().tenthC(1) / 10.0).isBetween(14.9, 25.1);
  }

  private static Compared compared(
      SplittableRandom random,
      MeterReading.Quantity quantity,
      double truth,
      double meterError,
      double printed,
      double boardError) {
    MeterReading meter =
        new MeterReading(
            quantity,
            quantity.isNumbered() ? 1 : 0,
            truth + random.nextDouble(-meterError, meterError),
            new MeterReading.Accuracy(0, meterError),
            0,
            0);
    double said = printed + random.nextDouble(-boardError, boardError);
    return new Compared(meter, Optional.of(new BoardCount(said, boardError, 1)));
  }

  @Test
  void voltagesAndTemperaturesThatNoSensorCanExplainAreNamed() {
    SplittableRandom random = new SplittableRandom(1);
    SensorErrors found =
        SensorFit.of(
            List.of(
                compared(random, MeterReading.Quantity.PACK, 52, 0.05, 48, 0.01),
                compared(random, MeterReading.Quantity.TEMPERATURE, 20, 1, 24, 0.5),
                compared(random, MeterReading.Quantity.TEMPERATURE, 20, 1, 16, 0.5)),
            RATED_AH);

    assertThat(found.contradictions()).containsExactly("temperature 1", "voltage");
  }

  @Test
  void aZeroThatTheBoardPrintsStaysZero() {
    MeterReading meter =
        new MeterReading(
            MeterReading.Quantity.CURRENT, 0, 5, new MeterReading.Accuracy(1, 0), 0, 0);
    SensorErrors found =
        SensorFit.of(
            List.of(new Compared(meter, Optional.of(new BoardCount(5.3, 0.01, 1)))), RATED_AH);

    assertThat(found.corrected(Reading.at(0).currentMa(0).build()).currentMa()).hasValue(0);
    assertThat(found.corrected(Reading.at(0).currentMa(5300).build()).currentMa().orElseThrow())
        .isBetween(4950, 5250);
  }
}
