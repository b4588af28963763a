package org.cellherd.alert.rule;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.cellherd.analysis.state.SavedState;
import org.junit.jupiter.api.Test;

class LoadMeanTest {
  private static final long MINUTE = 60_000;

  private final LoadMean load = new LoadMean();

  private void minutes(int from, int to, double amperes) {
    for (long t = from * MINUTE; t < to * MINUTE; t += 10_000) {
      load.add(t, amperes);
    }
  }

  @Test
  void aLoadThatEndedHalfAnHourAgoIsGone() {
    minutes(0, 300, 13.5);
    minutes(300, 330, 0);

    assertThat(load.amperes()).isZero();
  }

  @Test
  void aCyclingLoadCountsByItsMean() {
    for (int cycle = 0; cycle < 6; cycle++) {
      minutes(cycle * 10, cycle * 10 + 5, 4);
      minutes(cycle * 10 + 5, cycle * 10 + 10, 0);
    }

    assertThat(load.amperes()).isCloseTo(2, within(0.01));
  }

  @Test
  void minutesThatWereNotHeardAreLeftOut() {
    minutes(0, 10, 3);
    minutes(25, 30, 6);

    assertThat(load.amperes()).isCloseTo((10 * 3 + 5 * 6) / 15.0, within(0.01));
    minutes(400, 401, 1);
    assertThat(load.amperes()).isCloseTo(1, within(1e-9));
  }

  @Test
  void aSavedStateGoesOn() {
    minutes(0, 20, 3);
    SavedState out = SavedState.of(load::state);
    LoadMean other = new LoadMean();
    out.into(other::state);

    assertThat(other.amperes()).isEqualTo(load.amperes());
  }
}
