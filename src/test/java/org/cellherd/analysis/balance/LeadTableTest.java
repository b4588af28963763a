package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;
import org.junit.jupiter.api.Test;

/** Leads as measured, and what was bled since. */
class LeadTableTest {
  private static final long HOUR_MS = 3_600_000;

  private final LeadTable table = new LeadTable(3, 100);

  LeadTableTest() {
    List<Lead> positions =
        List.of(
            new Lead(1, Interval.exactly(0)),
            new Lead(2, new Interval(1.9, 2, 2.1)),
            new Lead(3, new Interval(0.9, 1, 1.1)));
    table.set(positions, 0, new double[] {0, 30, 10});
  }

  private double lead(int cell, double[] bledHours, double amperes) {
    return table.leads(HOUR_MS, bledHours, new Estimate(amperes, 0)).get(cell - 1).ah().mid();
  }

  /** A current of bleeding that is learned later says nothing of what was measured before. */
  @Test
  void aCurrentLearnedLaterCountsFromTheMeasurementOn() {
    double[] noMore = {0, 30, 10};

    assertThat(lead(2, noMore, 0.1)).isEqualTo(2);
    assertThat(lead(2, noMore, 0.7)).isEqualTo(2);
  }

  @Test
  void whatWasBledSinceIsTakenOff() {
    assertThat(lead(2, new double[] {0, 32, 10}, 0.1)).isCloseTo(1.8, within(1e-9));
    assertThat(lead(3, new double[] {0, 32, 10}, 0.1)).isEqualTo(1);
  }
}
