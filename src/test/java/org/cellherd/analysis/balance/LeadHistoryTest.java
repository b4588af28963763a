package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.SplittableRandom;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.estimate.LeadEstimator.Places;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What the leads of many full charges say of self-discharge. */
class LeadHistoryTest {
  private static final long DAY_MS = 86_400_000;
  private static final int TOPS = 12;
  private static final Interval NOT_BLED = Interval.exactly(0);

  @Test
  void fallOfACellThatIsSeenAtTheTopIsKnownClosely() {
    LeadHistory history = new LeadHistory(5);
    for (int day = 0; day < TOPS; day++) {
      List<Lead> leads = leads(20 - 0.1 * day, 0.05);
      history.add(day * DAY_MS, leads, turning(leads, 5), new double[5], NOT_BLED);
    }
    Interval growth = Objects.requireNonNull(history.growth(4));

    assertThat(growth.high()).isBetween(-0.1, -0.085);
    assertThat(growth.low()).isBetween(-0.115, -0.1);
  }

  @Test
  void fallOfACellThatNeverCameToItsKneeIsNotKnown() {
    LeadHistory history = new LeadHistory(5);
    for (int day = 0; day < TOPS; day++) {
      List<Lead> leads = leads(20 - 0.1 * day, 0.05);
      history.add(day * DAY_MS, leads, turning(leads.subList(0, 4), 5), new double[5], NOT_BLED);
    }

    assertThat(history.growth(4)).isNull();
  }

  /** A lead's error that turns from one bound to the other over the weeks is no leak. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void growthHoldsTheTruthWhateverTheLeadsOwnErrorsDo(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    for (int run = 0; run < 200; run++) {
      double truth = 0.2 * random.nextDouble(-1, 1);
      double half = random.nextDouble(0.02, 1);
      double phase = random.nextDouble(0, 7);
      double turn = random.nextDouble(0, 0.6);
      int days = random.nextInt(6, 40);
      LeadHistory history = new LeadHistory(5);
      for (int day = 0; day < days; day++) {
        double off = 0.9 * half * Math.sin(phase + turn * day);
        double ah = 20 + truth * day + off;
        history.add(
            day * DAY_MS, leads(ah, half), turning(leads(ah, half), 5), new double[5], NOT_BLED);
      }
      Interval growth = Objects.requireNonNull(history.growth(4));
      assertThat(growth.low() <= truth && truth <= growth.high())
          .as("seed %d, %d: %s for %s", seed, run, growth, truth)
          .isTrue();
    }
  }

  /** All that the leads are off by turns over the weeks. */
  private static Places turning(List<Lead> leads, int cells) {
    double[] ah = new double[cells];
    double[] turning = new double[cells];
    Arrays.fill(ah, Double.NaN);
    for (Lead lead : leads) {
      ah[lead.cell() - 1] = lead.ah().mid();
      turning[lead.cell() - 1] = (lead.ah().high() - lead.ah().low()) / 2;
    }
    return new Places(ah, turning);
  }

  private static List<Lead> leads(double ah, double half) {
    List<Lead> leads = new ArrayList<>();
    for (int cell = 1; cell <= 4; cell++) {
      leads.add(new Lead(cell, new Interval(20 - half, 20, 20 + half)));
    }
    leads.add(new Lead(5, new Interval(ah - half, ah, ah + half)));
    return leads;
  }

  /** A board that bleeds less than is thought, or not at all, makes no cell leak. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void growthHoldsTheTruthWhateverTheBoardBleeds(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    for (int run = 0; run < 200; run++) {
      double[] share = random.doubles(6, 0, 1).toArray();
      double[] truth = random.doubles(6, -0.05, 0.05).toArray();
      Interval bleedA = new Interval(0, 0.02, random.nextDouble(0.05, 0.2));
      double bleeds = random.nextDouble(bleedA.low(), bleedA.high());
      LeadHistory history = new LeadHistory(6);
      for (int day = 0; day < 20; day++) {
        List<Lead> leads = new ArrayList<>();
        double[] hours = new double[6];
        for (int i = 0; i < 6; i++) {
          hours[i] = 4 * day * share[i];
          double ah = 20 + truth[i] * day - bleeds * hours[i];
          leads.add(new Lead(i + 1, new Interval(ah - 0.05, ah, ah + 0.05)));
        }
        history.add(day * DAY_MS, leads, turning(leads, 6), hours, bleedA);
      }
      assertHolds(history, truth, "seed %d, %d".formatted(seed, run));
    }
  }

  private static void assertHolds(LeadHistory history, double[] truth, String as) {
    double[] sorted = truth.clone();
    Arrays.sort(sorted);
    for (int i = 0; i < truth.length; i++) {
      Interval growth = Objects.requireNonNull(history.growth(i));
      double overMedian = truth[i] - (sorted[2] + sorted[3]) / 2;
      assertThat(growth.low()).as(as).isLessThanOrEqualTo(overMedian + 1e-3);
      assertThat(growth.high()).as(as).isGreaterThanOrEqualTo(overMedian - 1e-3);
    }
  }

  @Test
  void ofACellThatNoLongerComesToItsKneeOnlyTheLeastIsTold() {
    LeadHistory history = new LeadHistory(5);
    for (int day = 0; day < TOPS; day++) {
      history.add(
          day * DAY_MS,
          leads(20 - 0.1 * day, 0.05),
          turning(leads(20 - 0.1 * day, 0.05), 5),
          new double[5],
          NOT_BLED);
    }
    Interval before = history.cellGrowth().get(4).ahPerDay();
    history.add(
        TOPS * DAY_MS,
        leads(0, 0.05).subList(0, 4),
        turning(leads(0, 0.05).subList(0, 4), 5),
        new double[5],
        NOT_BLED);
    Interval after = history.cellGrowth().get(4).ahPerDay();

    assertThat(before.low()).isFinite();
    assertThat(after.low()).isInfinite();
    assertThat(after.high()).isEqualTo(before.high());
  }

  /** The last cell leaks and after two weeks no longer comes to its knee; the leads bound it. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void aLeakOnceKnownStaysKnownWhenTheCellNoLongerComesToTheTop(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    int stays = 0;
    for (int run = 0; run < 100; run++) {
      double leak = random.nextDouble(0, 0.4);
      double half = random.nextDouble(0.1, 0.6);
      LeadHistory history = new LeadHistory(5);
      double last = 0;
      for (int day = 0; day < 80; day++) {
        double ah = leak * day;
        double low = Math.max(0, Math.min(ah, 14 * leak) - half * random.nextDouble());
        double high = day < 14 ? ah + half * random.nextDouble() : ah + 50;
        history.add(
            day * DAY_MS,
            behind(new Interval(low, low, high)),
            turning(behind(new Interval(low, low, high)), 5),
            new double[5],
            NOT_BLED);
        Interval growth = history.growth(4);
        last = growth == null ? 0 : -growth.high();
        assertThat(last).as("seed %d, %d", seed, run).isLessThanOrEqualTo(leak + 1e-9);
      }
      stays += last > leak / 4 ? 1 : 0;
    }
    assertThat(stays).as("seed %d", seed).isGreaterThan(60);
  }

  private static List<Lead> behind(Interval others) {
    List<Lead> leads = new ArrayList<>();
    for (int cell = 1; cell <= 4; cell++) {
      leads.add(new Lead(cell, others));
    }
    leads.add(new Lead(5, Interval.exactly(0)));
    return leads;
  }

  /** A charge that brings the cell back ends what was known of its leak. */
  @Test
  void aLeakThatWasMendedIsForgotten() {
    LeadHistory history = new LeadHistory(5);
    for (int day = 0; day < 20; day++) {
      Interval others = new Interval(0.2 * day, 0.2 * day + 0.1, 0.2 * day + 0.2);
      history.add(
          day * DAY_MS, behind(others), turning(behind(others), 5), new double[5], NOT_BLED);
    }
    assertThat(Objects.requireNonNull(history.growth(4)).high()).isLessThan(-0.15);

    for (int day = 20; day < 50; day++) {
      history.add(
          day * DAY_MS,
          behind(new Interval(0, 0.1, 0.2)),
          turning(behind(new Interval(0, 0.1, 0.2)), 5),
          new double[5],
          NOT_BLED);
    }

    assertThat(Objects.requireNonNull(history.growth(4)).high()).isGreaterThanOrEqualTo(0);
  }
}
