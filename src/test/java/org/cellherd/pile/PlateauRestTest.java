package org.cellherd.pile;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/** Two voltages a month apart on the plateau of LFP: the meter has a deviation of 1 mV. */
class PlateauRestTest {

  private static Triage pile(long seed, int units, double leakMv) {
    Random random = new Random(seed);
    List<String> lines = new ArrayList<>();
    lines.add("id,chemistry,rated_ah,rest_1_v,rest_1_at,rest_2_v,rest_2_at,res_1_mohm,cap_1_ah");
    for (int i = 0; i < units; i++) {
      double fall = 1.5 + (i == 0 ? leakMv : 0);
      lines.add(
          String.format(
              Locale.ROOT,
              "u%d,lfp,10,%.4f,2026-01-01T12:00,%.4f,2026-01-31T12:00,3.0,8.5",
              i,
              3.3 + 0.001 * random.nextGaussian(),
              3.3 - 0.001 * fall + 0.001 * random.nextGaussian()));
    }
    Problems problems = new Problems();
    Triage triage =
        Triage.of(
            CellsFile.read("pile", lines, problems),
            new Triage.Settings(1, 1, 60, LocalDate.of(2026, 3, 1)));
    assertThat(problems.isEmpty()).isTrue();
    return triage;
  }

  @Test
  void aUnitThatFallsAwayFromItsPeersIsMeasuredAgain() {
    for (long seed = 0; seed < 20; seed++) {
      assertThat(pile(seed, 30, 25).of(Triage.Verdict.MEASURE_AGAIN))
          .as("seed %d", seed)
          .extracting(a -> a.unit().id())
          .contains("u0");
    }
  }

  /** Of forty piles of sound units one has an unlucky one: 2.5 % a pile, whatever its size. */
  @Test
  void aMeterErrorKeepsNoSoundUnitOut() {
    int piles = 0;
    for (long seed = 100; seed < 180; seed++) {
      piles += pile(seed, 100, 0).of(Triage.Verdict.USE).size() < 100 ? 1 : 0;
    }
    assertThat(piles).as("of 80 piles, 2 expected").isLessThanOrEqualTo(7);
  }

  @Test
  void ofUnitsThatDoAsTheirPeersTheSameIsSaid() {
    List<Triage.Assessment> used = pile(3, 60, 0).of(Triage.Verdict.USE);

    assertThat(used.stream().map(Triage.Assessment::reasons).distinct().count()).isLessThan(12);
  }
}
