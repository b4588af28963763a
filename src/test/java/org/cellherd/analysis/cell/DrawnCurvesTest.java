package org.cellherd.analysis.cell;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Optional;
import java.util.SplittableRandom;
import java.util.function.DoubleUnaryOperator;
import java.util.random.RandomGenerator;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Chemistry;
import org.junit.jupiter.api.Test;

/**
 * Bounds of sheets that are from memory, over cells put together from drawn electrodes. The shapes
 * are from memory, too: hard carbon slopes for about half of its charge and is nearly flat behind
 * it, layered oxides slope with soft steps, titanate is flat between two steep ends.
 */
class DrawnCurvesTest {
  private static final long SEED = 20_261_129;
  private static final int CELLS = 400;

  @Test
  void boundsOfSodiumIonHoldHardCarbonAgainstLayeredOxides() {
    for (int i = 0; i < CELLS; i++) {
      judge(Chemistry.SODIUM_ION, sodiumIon(new SplittableRandom(SEED + i)), i, 1.5, 4.0);
    }
  }

  @Test
  void boundsOfTitanateHoldItAgainstLayeredOxides() {
    for (int i = 0; i < CELLS; i++) {
      judge(Chemistry.LTO, titanate(new SplittableRandom(SEED + i)), i, 1.5, 2.8);
    }
  }

  /** A line that falls off exponentially within 2 to 4 % of the charge. */
  @Test
  void boundsOfLayeredOxidesHoldCellsThatFallOffSteeplyBelowTheirLine() {
    for (int i = 0; i < CELLS; i++) {
      RandomGenerator random = new SplittableRandom(SEED + i);
      double base = random.nextDouble(3.38, 3.45);
      double rise = random.nextDouble(0.4, 0.6);
      double end = random.nextDouble(0.5, 1);
      double width = random.nextDouble(0.02, 0.04);
      for (double z = 0; z < 0.1; z += 0.001) {
        double fallen = end * Math.exp(-z / width);
        double v = base + rise * z - fallen;
        if (v > 2.6 && v < 3.4) {
          Interval bounds = CellCurve.of(Chemistry.NMC).slope(1000 * v).orElseThrow();
          assertThat(10 * (rise + fallen / width))
              .as("draw %s at %.3f of its charge, %.3f V", i, z, v)
              .isBetween(bounds.low(), bounds.high());
        }
      }
    }
  }

  private static void judge(
      Chemistry chemistry, DoubleUnaryOperator volts, int draw, double lowV, double highV) {
    int judged = 0;
    for (double z = 0.005; z < 1; z += 0.005) {
      double v = volts.applyAsDouble(z);
      double mvPerPct = 5_000 * (volts.applyAsDouble(z + 0.001) - volts.applyAsDouble(z - 0.001));
      Optional<Interval> bounds = CellCurve.of(chemistry).slope(1000 * v);
      if (v > lowV && v < highV && bounds.isPresent()) {
        judged++;
        assertThat(mvPerPct)
            .as("draw %s at %.3f of its charge, %.3f V", draw, z, v)
            .isBetween(bounds.get().low(), bounds.get().high());
      }
    }
    assertThat(judged).isGreaterThan(100);
  }

  /** From empty to full hard carbon falls from 0.8 to 1.3 V through its bend to nearly nothing. */
  private static DoubleUnaryOperator sodiumIon(RandomGenerator random) {
    double bend = random.nextDouble(0.35, 0.6);
    double slope = random.nextDouble(0.3, 0.7);
    double end = random.nextDouble(0.2, 0.6);
    double endWidth = random.nextDouble(0.02, 0.05);
    double flat = random.nextDouble(0.03, 0.1);
    DoubleUnaryOperator anode =
        z -> slope * soft((bend - z) / bend, 0.08) + end * Math.exp(-z / endWidth) + flat * (1 - z);
    DoubleUnaryOperator cathode = layered(random, 2.9, 3.1, 0.6, 0.85);
    return z -> cathode.applyAsDouble(z) - anode.applyAsDouble(z);
  }

  /** Titanate stands at 1.55 V, and leaves it where either of its ends is the cell's. */
  private static DoubleUnaryOperator titanate(RandomGenerator random) {
    double empty = random.nextDouble(0.2, 0.6);
    double emptyWidth = random.nextDouble(0.02, 0.05);
    double full = random.nextDouble(0, 0.15);
    double fullWidth = random.nextDouble(0.015, 0.04);
    DoubleUnaryOperator cathode = layered(random, 3.65, 3.8, 0.25, 0.5);
    return z ->
        cathode.applyAsDouble(z)
            - 1.55
            - empty * Math.exp(-z / emptyWidth)
            + full * Math.exp((z - 1) / fullWidth);
  }

  /** Rises by a line and two soft steps. */
  private static DoubleUnaryOperator layered(
      RandomGenerator random, double leastV, double mostV, double leastRise, double mostRise) {
    double base = random.nextDouble(leastV, mostV);
    double rise = random.nextDouble(leastRise, mostRise);
    double first = random.nextDouble(0.05, 0.15);
    double firstAt = random.nextDouble(0.25, 0.45);
    double second = random.nextDouble(0, 0.12);
    double secondAt = random.nextDouble(0.6, 0.85);
    double width = random.nextDouble(0.05, 0.1);
    return z ->
        base
            + rise * z
            + first * (1 + Math.tanh((z - firstAt) / width)) / 2
            + second * (1 + Math.tanh((z - secondAt) / width)) / 2;
  }

  /** Zero below, the value itself above, bent softly. */
  private static double soft(double x, double width) {
    return width * Math.log1p(Math.exp(x / width));
  }
}
