package org.cellherd.analysis.plausible;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Random;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.SignState;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.junit.jupiter.api.Test;

class PlausibilityFoldTest {
  private static final PackPlan PLAN = PackPlan.of("p", Chemistry.LFP, 4, 1, 100_000);

  private final PackAnalysis analysis = new PackAnalysis(PLAN, AnalysisSettings.of(PLAN));
  private final Random random = new Random(5);
  private long now = 1_767_225_600_000L;

  private Reading.Builder next(int milliamps, double... mv) {
    now += 1000;
    int[] tenth = new int[mv.length];
    for (int i = 0; i < mv.length; i++) {
      tenth[i] = (int) Math.round(mv[i] + 0.4 * random.nextGaussian()) * 10;
    }
    return Reading.at(now).cells(CellVoltages.ofTenthMv(tenth)).currentMa(milliamps);
  }

  private void rest(int seconds) {
    for (int i = 0; i < seconds; i++) {
      analysis.accept(next(0, 3330, 3331, 3329, 3330).packMv(13_320).build());
    }
  }

  private List<String> kinds() {
    return analysis.suspicions().stream().map(s -> s.kind().word()).toList();
  }

  @Test
  void goodReadingsRaiseNoDoubt() {
    rest(3600);

    assertThat(kinds()).isEmpty();
  }

  @Test
  void cellsThatDoNotAddUpAreDoubtedAfterAMinute() {
    rest(60);
    for (int i = 0; i < 90; i++) {
      analysis.accept(next(0, 3330, 3331, 3329, 3330).packMv(13_390).build());
    }

    assertThat(kinds()).containsExactly("sum");
  }

  @Test
  void resistanceOfThePathIsLearnedAndAllowedFor() {
    flow(0.004);

    assertThat(kinds()).isEmpty();
    assertThat(pathMohm()).isBetween(3.0, 5.0);
  }

  /** Where the board measures the pack before the links, its last digits may say less than none. */
  @Test
  void aPathBelowZeroIsNotTold() {
    flow(-0.0002);

    assertThat(pathMohm()).isNaN();
  }

  private void flow(double pathOhm) {
    rest(60);
    for (int i = 0; i < 900; i++) {
      int milliamps = i % 30 < 15 ? -40_000 : -20_000;
      double v = 3300 + milliamps * 0.0005;
      int pack = (int) Math.round(4 * v + milliamps * pathOhm);
      analysis.accept(next(milliamps, v, v, v, v).packMv(pack).build());
    }
  }

  private double pathMohm() {
    return analysis.standing().stream()
        .filter(f -> f.name() == FindingName.PLAUSIBILITY)
        .findFirst()
        .orElseThrow()
        .facts()
        .number("path_mohm")
        .orElse(Double.NaN);
  }

  /** True potentials 0 3.3 6.6 9.9 13.2, taps 2 and 3 read in the wrong order. */
  @Test
  void swappedTapsAreNamed() {
    for (int i = 0; i < 10; i++) {
      analysis.accept(next(0, 3300, 6600, -3300, 6600).packMv(13_200).build());
    }

    assertThat(kinds()).containsExactly("swapped-taps");
    assertThat(analysis.suspicions().get(0).cells()).containsExactly(2, 3, 4);
  }

  @Test
  void aTapThatWandersAtRestIsLoose() {
    rest(60);
    for (int i = 0; i < 900; i++) {
      double e = 8 * Math.sin(i / 10.0) + 12;
      analysis.accept(next(0, 3330, 3331 + e, 3329 - e, 3330).packMv(13_320).build());
    }

    assertThat(kinds()).containsExactly("loose-tap");
    assertThat(analysis.suspicions().get(0).cells()).containsExactly(2, 3);
  }

  @Test
  void cellsOfUnlikeResistanceUnderStepsOfCurrentAreNotCalledLoose() {
    rest(60);
    for (int i = 0; i < 7200; i++) {
      int milliamps = i % 600 < 150 ? -20_000 : 0;
      double sag = milliamps / 1000.0 * 0.3;
      double v = 3330 + 4 * sag;
      analysis.accept(next(milliamps, v, v - sag, v + sag, v).packMv((int) (4 * v)).build());
    }

    assertThat(kinds()).isEmpty();
  }

  @Test
  void cellsThatMoveOppositelyUnderAHeldVoltageAreNotCalledLoose() {
    for (int i = 0; i < 1800; i++) {
      double e = 8 * Math.sin(i / 10.0);
      analysis.accept(next(0, 3450, 3480 + e, 3470 - e, 3450).packMv(13_850).build());
    }

    assertThat(kinds()).doesNotContain("loose-tap");
  }

  private void sensors(int... tenthC) {
    analysis.accept(
        next(0, 3330, 3331, 3329, 3330).temperatures(Temperatures.ofTenthC(tenthC)).build());
  }

  @Test
  void aValueThatCameOnceIsDoubtedForAnHourAndNotCounted() {
    sensors(250, 250);
    sensors(-1080, 250);
    assertThat(kinds()).containsExactly("lone-value");
    assertThat(analysis.suspicions().get(0).likelyCause())
        .isEqualTo(
            "temperature sensor 1 read \u2212108.0 \u00b0C in one reading, and nothing else agreed");
    assertThat(analysis.reading().orElseThrow().temperatures().tenthC(1)).isEqualTo(250);
    for (int i = 0; i < 3590; i++) {
      sensors(250, 250);
    }
    assertThat(kinds()).containsExactly("lone-value");
    for (int i = 0; i < 20; i++) {
      sensors(250, 250);
    }
    assertThat(kinds()).isEmpty();
  }

  @Test
  void openThermistorIsNamed() {
    sensors(200, -400);
    assertThat(kinds()).containsExactly("lone-value");
    sensors(200, -400);

    assertThat(kinds()).containsExactly("thermistor-open");
  }

  @Test
  void shortedThermistorIsNamed() {
    sensors(1250, 210);
    assertThat(kinds()).containsExactly("lone-value");
    sensors(1250, 210);

    assertThat(kinds()).containsExactly("thermistor-short");
  }

  @Test
  void aCellThatStaysWhileOthersMoveIsStuck() {
    for (int i = 0; i < 1200; i++) {
      Reading r = next(5_000, 3330 + i / 40.0, 3331, 3329 + i / 40.0, 3330 + i / 40.0).build();
      int[] tenth = new int[4];
      for (int cell = 1; cell <= 4; cell++) {
        tenth[cell - 1] = cell == 2 ? 33_310 : r.cells().tenthMv(cell);
      }
      analysis.accept(
          Reading.at(r.timeMs()).cells(CellVoltages.ofTenthMv(tenth)).currentMa(5_000).build());
    }

    assertThat(kinds()).containsExactly("stuck-cell");
    assertThat(analysis.suspicions().get(0).cells()).containsExactly(2);
  }

  @Test
  void oneCellReadTwiceIsNamed() {
    for (int i = 0; i < 1200; i++) {
      Reading r = next(0, 3330, 3330, 3331, 3331).build();
      int twin = r.cells().tenthMv(3);
      analysis.accept(
          Reading.at(r.timeMs())
              .cells(CellVoltages.ofTenthMv(r.cells().tenthMv(1), r.cells().tenthMv(2), twin, twin))
              .currentMa(0)
              .build());
    }

    assertThat(kinds()).containsExactly("duplicate-channel");
  }

  @Test
  void signIsUnconfirmedUntilFiveStepsShowAResistance() {
    steps(4, 0.0006);
    assertThat(analysis.currentSign()).isEqualTo(SignState.UNCONFIRMED);

    steps(4, 0.0006);

    assertThat(analysis.currentSign()).isEqualTo(SignState.CONFIRMED);
    assertThat(kinds()).isEmpty();
  }

  @Test
  void invertedSignIsNamedAndNothingIsFlipped() {
    steps(12, -0.0006);

    assertThat(analysis.currentSign()).isEqualTo(SignState.INVERTED);
    assertThat(kinds()).containsExactly("current-sign");
    assertThat(analysis.flowingMa().orElseThrow()).isPositive();
  }

  @Test
  void aCurrentTenTimesTooLargeIsNamed() {
    steps(12, 0.00004);

    assertThat(kinds()).containsExactly("current-scale");
  }

  /** Current steps of 20 A; ohm is what the cells seem to have. */
  private void steps(int count, double ohm) {
    for (int s = 0; s < count; s++) {
      int milliamps = s % 2 == 0 ? 25_000 : 5_000;
      for (int i = 0; i < 30; i++) {
        double v = 3330 + milliamps * ohm;
        analysis.accept(next(milliamps, v, v, v, v).build());
      }
    }
  }
}
