package org.cellherd.alert.rule;

import static org.assertj.core.api.Assertions.assertThat;

import org.assertj.core.data.Offset;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;

class PublishedKneeTest {
  private final PublishedKnee lfp =
      new PublishedKnee(PackPlan.of("p", Chemistry.LFP, 4, 1, 100_000));
  private final PublishedKnee nmc =
      new PublishedKnee(PackPlan.of("p", Chemistry.NMC, 4, 1, 100_000));

  /**
   * At C/10 charge rises by 1/6 % a minute. The curve of Safari and Delacourt 2011 has 55.7 mV a
   * percent at 3.45 V, so 9.3 mV a minute; from 3.45 to 3.60 V it needs 1.72 %, that is 10.3 min.
   */
  @Test
  void theTimeToALimitIsThatOfTheSameCurve() {
    assertThat(lfp.minutesTo(3450, 9.28, 3600)).isCloseTo(10.3, Offset.offset(0.5));
    assertThat(lfp.minutes(10.3, true)).isEqualTo("about 10 min");
  }

  @Test
  void aStraightLineIsOnlyABound() {
    assertThat(nmc.minutesTo(4000, 10, 4150)).isEqualTo(15);
    assertThat(nmc.minutes(15, true)).isEqualTo("at most 15 min");
    assertThat(lfp.minutes(15, false)).isEqualTo("at most 15 min");
  }

  @Test
  void aFallQuickensInTheLowerKneeToo() {
    // A straight line would take 15 and 136 min.
    assertThat(lfp.minutesDown(2800, 20, 2500)).isCloseTo(11.2, Offset.offset(0.1));
    assertThat(lfp.minutesDown(3045, 4, 2500)).isCloseTo(58, Offset.offset(1.0));
    assertThat(nmc.minutesDown(3200, 10, 3000)).isEqualTo(20);
  }
}
