package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;
import org.junit.jupiter.api.Test;

/** What the leads of many full charges say of self-discharge. */
class LeadHistoryTest {
  private static final long DAY_MS = 86_400_000;
  private static final int TOPS = 12;

  /** Cell 4 falls behind by 0.1 Ah a day as far as is seen; it may be more by the bound. */
  private static Interval growthOfTheLast(double mostAh) {
    LeadHistory history = new LeadHistory(4);
    for (int day = 0; day < TOPS; day++) {
      double ah = 1 + 0.1 * day;
      List<Lead> leads = new ArrayList<>();
      for (int cell = 1; cell <= 3; cell++) {
        leads.add(new Lead(cell, new Interval(ah - 0.05, ah, ah + mostAh)));
      }
      leads.add(new Lead(4, Interval.exactly(0)));
      history.add(day * DAY_MS, leads, new double[4]);
    }
    return Objects.requireNonNull(history.growth(3));
  }

  @Test
  void fallOfACellThatIsSeenAtTheTopIsKnownClosely() {
    Interval growth = growthOfTheLast(0.05);

    assertThat(growth.high()).isBetween(-0.1, -0.09);
    assertThat(growth.low()).isBetween(-0.11, -0.1);
  }

  @Test
  void fallOfACellThatStaysOnItsPlateauIsAtLeastWhatIsSeen() {
    Interval growth = growthOfTheLast(75);

    assertThat(growth.high()).isBetween(-0.1, -0.09);
    assertThat(growth.low()).isLessThan(-1);
  }
}
