package org.cellherd.analysis.discharge;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import org.cellherd.analysis.Interval;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Drawn packs of known resistance, read by boards that err within what is common. */
class RateDropTest {

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
  void theIntervalHoldsTheDrawnResistanceOrIsRefused(long seed) {
    Random random = new Random(seed);
    int told = 0;
    for (int i = 0; i < 200; i++) {
      int series = 1 + random.nextInt(16);
      double ah = 10 + 90 * random.nextDouble();
      double ohm = series * (0.02 + 0.1 * random.nextDouble()) / ah;
      TestedDischarge slow = drawn(random, series, ah, ohm, 0.1 * ah);
      TestedDischarge fast = drawn(random, series, ah, ohm, (0.2 + 0.6 * random.nextDouble()) * ah);

      RateDrop drop = RateDrop.between(fast, slow);

      if (drop.ohm().isPresent()) {
        told++;
        Interval found = drop.ohm().get();
        assertThat(found.holds(ohm)).as("seed %d, %d: %s of %s", seed, i, found, ohm).isTrue();
        Interval heat = drop.heatWh(fast).orElseThrow();
        double amps = fast.amps();
        assertThat(heat.mid()).isCloseTo(found.mid() * amps * fast.ah().mid(), within(1e-9));
      } else {
        assertThat(drop.reason()).isNotEmpty();
      }
    }
    assertThat(told).isGreaterThan(60);
  }

  /** Open-circuit voltage less current times resistance; offsets of board and sensor on top. */
  private static TestedDischarge drawn(
      Random random, int series, double ah, double ohm, double amps) {
    double offset = series * 0.005 * (2 * random.nextDouble() - 1);
    double gain = 1 + 0.01 * (2 * random.nextDouble() - 1);
    double start = 0.01 * ah * random.nextDouble();
    DischargeCurve.Builder curve = new DischargeCurve.Builder(ah, series);
    double wh = 0;
    for (int i = 0; i <= 1000; i++) {
      double q = (ah - start) * i / 1000;
      double ocv = series * (3.3 - 0.1 * (q + start) / ah - 0.7 * Math.pow((q + start) / ah, 15));
      double volts = ocv - amps * ohm + offset;
      wh += volts * (ah - start) / 1000;
      curve.add(new DischargeCurve.Point(q, wh, volts, Double.NaN, amps));
    }
    double seen = ah - start;
    return new TestedDischarge(
        "p",
        0,
        curve.build(series, 0),
        new Interval(seen * 0.99, seen, seen * 1.01 / 0.99),
        wh,
        amps * gain,
        Double.NaN,
        ah);
  }

  @Test
  void aDropWithinTheErrorsIsRefused() {
    Random random = new Random(3);
    TestedDischarge slow = drawn(random, 4, 50, 1e-5, 5);
    TestedDischarge fast = drawn(random, 4, 50, 1e-5, 15);

    assertThat(RateDrop.between(slow, fast).reason()).contains("within their errors");
  }

  @Test
  void costsAndTheDonorsShareAreThoseOfPaper() {
    PackComparison.Pack donor = pack("old", true, 10, OptionalDouble.empty());
    PackComparison.Pack built = pack("crate", false, 9, OptionalDouble.of(100));
    PackComparison.NewPack fresh =
        new PackComparison.NewPack(
            OptionalDouble.of(300), OptionalDouble.of(120), OptionalDouble.of(200));
    PackComparison all = new PackComparison(List.of(donor, built), fresh);

    // 9 Ah at 12 V are 108 Wh, 1 % either way.
    assertThat(built.pricePerWh().orElseThrow().mid()).isCloseTo(100 / 108.0, within(1e-9));
    assertThat(built.pricePerWh().orElseThrow().low()).isCloseTo(100 / 109.08, within(1e-9));
    assertThat(built.pricePerWh().orElseThrow().high()).isCloseTo(100 / 106.92, within(1e-9));
    assertThat(all.keptPct().orElseThrow().mid()).isCloseTo(90, within(1e-9));
    assertThat(all.keptPct().orElseThrow().low()).isCloseTo(90 * 0.99 / 1.01, within(1e-9));
    assertThat(fresh.perWh().orElseThrow()).isEqualTo(2.5);
    assertThat(fresh.perLifeKwh().orElseThrow()).isEqualTo(1.5);
    assertThat(built.drop()).isEmpty();
    assertThat(built.pricePerLifeKwh()).isEmpty();
  }

  private static PackComparison.Pack pack(
      String name, boolean donor, double ah, OptionalDouble price) {
    DischargeCurve.Builder curve = new DischargeCurve.Builder(ah, 4);
    curve.add(new DischargeCurve.Point(0, 0, 12, Double.NaN, 1));
    curve.add(new DischargeCurve.Point(ah, ah * 12, 12, Double.NaN, 1));
    TestedDischarge test =
        new TestedDischarge(
            name,
            0,
            curve.build(4, 0),
            new Interval(ah * 0.99, ah, ah * 1.01),
            ah * 12,
            1,
            Double.NaN,
            10);
    return new PackComparison.Pack(name, donor, List.of(test), Optional.empty(), price);
  }
}
