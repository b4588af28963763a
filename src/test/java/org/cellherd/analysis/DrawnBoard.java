package org.cellherd.analysis;

import java.util.Arrays;
import java.util.Optional;
import java.util.random.RandomGenerator;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;

/**
 * What a board of drawn errors prints of a model pack: offset and gain of its current, a zone
 * printed as 0 A, whole steps, errors of its inputs, readings left out. An owner's worst case: 2 %
 * of gain and C/300, at most 0.2 A, of offset.
 */
public final class DrawnBoard {
  private final RandomGenerator random;
  private final double offsetA;
  private final double gain;
  private final double zoneA;
  private final double stepA;
  private final int stepTenthMv;
  private final double[] inputTenthMv;
  private final double missing;

  /** Draws a board for a pack of so many cells and Ah. */
  public DrawnBoard(RandomGenerator random, int cells, double ratedAh) {
    this.random = random;
    offsetA = Math.min(0.2, ratedAh / 300) * random.nextDouble(-1, 1);
    gain = 1 + 0.02 * random.nextDouble(-1, 1);
    zoneA = new double[] {0, 0, 0.1, 0.5, 1}[random.nextInt(5)];
    stepA = random.nextBoolean() ? 0.01 : 0.1;
    stepTenthMv = new int[] {1, 10, 10, 20, 50}[random.nextInt(5)];
    inputTenthMv = random.doubles(cells, -30, 30).toArray();
    missing = new double[] {0, 0, 0.05, 0.2}[random.nextInt(4)];
  }

  /** Amperes below which it prints 0. */
  public double zoneA() {
    return zoneA;
  }

  /** What it prints when no current flows, A. */
  public double offsetA() {
    return offsetA;
  }

  /** Printed over true current. */
  public double gain() {
    return gain;
  }

  /** The strata that this board belongs to. */
  public String[] strata() {
    return new String[] {
      "zone " + zoneA + " A", "step " + stepTenthMv / 10.0 + " mV", "missing " + missing
    };
  }

  /** What it prints; empty where the reading was lost. */
  public Optional<Reading> print(Reading true_) {
    if (random.nextDouble() < missing) {
      return Optional.empty();
    }
    int[] cells = new int[inputTenthMv.length];
    for (int i = 0; i < cells.length; i++) {
      double seen = true_.cells().tenthMv(i + 1) + inputTenthMv[i] + 5 * random.nextGaussian();
      cells[i] = (int) Math.round(seen / stepTenthMv) * stepTenthMv;
    }
    double amps = true_.currentMa().orElseThrow() / 1000.0 * gain + offsetA;
    amps += 0.02 * random.nextGaussian();
    amps = Math.abs(amps) < zoneA ? 0 : Math.round(amps / stepA) * stepA;
    return Optional.of(
        Reading.at(true_.timeMs())
            .cells(CellVoltages.ofTenthMv(cells))
            .currentMa((int) Math.round(1000 * amps))
            .packMv(Arrays.stream(cells).sum() / 10)
            .temperatures(true_.temperatures())
            .build());
  }
}
