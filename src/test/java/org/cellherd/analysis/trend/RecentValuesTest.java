package org.cellherd.analysis.trend;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.apache.commons.math3.stat.descriptive.rank.Median;
import org.cellherd.analysis.StateMismatch;
import org.cellherd.analysis.StateReader;
import org.cellherd.analysis.StateWriter;
import org.junit.jupiter.api.Test;

class RecentValuesTest {

  @Test
  void keepsTheNewestInOrder() {
    RecentValues recent = new RecentValues(3);
    for (int i = 1; i <= 5; i++) {
      recent.add(i);
    }

    assertThat(recent.values()).containsExactly(3, 4, 5);
    assertThat(recent.median()).isEqualTo(4);
    assertThat(recent.isFull()).isTrue();
  }

  @Test
  void medianAgreesWithTheReferenceLibrary() {
    double[] values = {3, 9, 1, 7, 5, 5.5};

    assertThat(Medians.median(values)).isEqualTo(new Median().evaluate(values));
    assertThat(Medians.mad(1, 2, 3, 4, 100)).isEqualTo(1);
  }

  @Test
  void restoresWhatWasSaved() {
    RecentValues recent = new RecentValues(2);
    recent.add(1);
    recent.add(2);
    recent.add(3);
    StateWriter out = new StateWriter();
    recent.save(out);
    RecentValues restored = new RecentValues(2);
    restored.restore(new StateReader(out.toBytes()));

    assertThat(restored.values()).containsExactly(2, 3);
  }

  @Test
  void refusesAStateOfMoreThanItHolds() {
    StateReader in = new StateReader(new StateWriter().putDoubles(new double[3]).toBytes());

    assertThatThrownBy(() -> new RecentValues(2).restore(in)).isInstanceOf(StateMismatch.class);
  }
}
