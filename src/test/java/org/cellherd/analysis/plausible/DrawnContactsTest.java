package org.cellherd.analysis.plausible;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.Random;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

/**
 * Cells that part and come together by themselves, as after a deep discharge or a change of the
 * current, beside sense wires whose contact comes and goes; polled every second to every minute, in
 * steps of 1 to 5 mV.
 */
class DrawnContactsTest {
  private static final int CELLS = 6;
  private static final int SEEDS = 150;
  private static final long FOUND_WITHIN_MS = 3 * 3_600_000;

  private final PackPlan plan = PackPlan.of("p", Chemistry.LFP, CELLS, 1, 100_000);

  @Test
  void cellsThatPartOrMeetByThemselvesHaveNoBadContact() {
    int found = 0;
    for (long seed = 1; seed <= SEEDS; seed++) {
      Random random = new Random(seed * 0x9E3779B97F4A7C15L);
      Cells cells = new Cells(random);
      found += isLoose(random, cells, 0, 0) ? 1 : 0;
    }
    assertThat(found).as("of " + SEEDS + " sound packs, 3 h each").isZero();
  }

  /** Of wander that is five times the noise and step of the board all is found but a few. */
  @Test
  void aContactThatComesAndGoesIsFound() {
    int found = 0;
    for (long seed = 1; seed <= SEEDS; seed++) {
      Random random = new Random(seed * 0x9E3779B97F4A7C15L);
      Cells cells = new Cells(random).still();
      found +=
          isLoose(random, cells, 5 * (cells.stepMv + cells.noiseMv), 10 + random.nextInt(50))
              ? 1
              : 0;
    }
    assertThat(found).as("of " + SEEDS).isGreaterThanOrEqualTo(SEEDS * 95 / 100);
  }

  /** Distances from the middle that die away, each cell by two times of its own. */
  private static final class Cells {
    private final double[] far = new double[2 * CELLS];
    private final double[] minutes = new double[2 * CELLS];
    private final double stepMv;
    private final double noiseMv;
    private final long pollMs;

    Cells(Random random) {
      for (int i = 0; i < far.length; i++) {
        far[i] = 120 * random.nextDouble() * random.nextGaussian();
        minutes[i] = 2 * Math.pow(30, random.nextDouble());
      }
      stepMv = 1 + random.nextInt(5);
      noiseMv = 1.5 * random.nextDouble();
      pollMs = Math.round(1000 * Math.pow(60, random.nextDouble()));
    }

    Cells still() {
      Arrays.fill(far, 0);
      return this;
    }

    double mv(int cell, double minute) {
      double mv = 3280;
      for (int i = 2 * cell; i < 2 * cell + 2; i++) {
        mv += far[i] * Math.exp(-minute / minutes[i]);
      }
      return mv;
    }
  }

  /**
   * True when a bad contact is told within three hours.
   *
   * @param wanderMv of the wire between cells 3 and 4, one standard deviation
   * @param lastsS for how long its contact stays much as it is
   */
  private boolean isLoose(Random random, Cells cells, double wanderMv, double lastsS) {
    PackAnalysis analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
    long startMs = 1_767_225_600_000L;
    double wander = 0;
    for (long nowMs = startMs; nowMs - startMs < FOUND_WITHIN_MS; nowMs += cells.pollMs) {
      double stays = wanderMv == 0 ? 0 : Math.exp(-cells.pollMs / 1000.0 / lastsS);
      wander = wander * stays + wanderMv * Math.sqrt(1 - stays * stays) * random.nextGaussian();
      int[] tenth = new int[CELLS];
      for (int i = 0; i < CELLS; i++) {
        double tap = i == 2 ? wander : i == 3 ? -wander : 0;
        double mv =
            cells.mv(i, (nowMs - startMs) / 60_000.0) + tap + cells.noiseMv * random.nextGaussian();
        tenth[i] = (int) Math.round(10 * cells.stepMv * Math.round(mv / cells.stepMv));
      }
      analysis.accept(
          Reading.at(nowMs).cells(CellVoltages.ofTenthMv(tenth)).currentMa(20_000).build());
      if (analysis.suspicions().stream().anyMatch(s -> s.kind() == Suspicion.Kind.LOOSE_TAP)) {
        return true;
      }
    }
    return false;
  }
}
