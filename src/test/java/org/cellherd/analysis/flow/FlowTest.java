package org.cellherd.analysis.flow;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import java.util.function.LongUnaryOperator;
import java.util.random.RandomGenerator;
import org.cellherd.analysis.LogFeed;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.moment.Flow;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Gap;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

class FlowTest {
  private static final long SEED = 20_261_130;
  private static final int SWITCHED = 200;
  private static final PackPlan PLAN = PackPlan.of("p", Chemistry.LFP, 1, 1, 100_000);

  /** An own example: from +10 to -5 A in 60 s. */
  @Test
  void splitsAStepWhereTheCurrentTurns() {
    Amounts amounts = new Amounts();
    amounts.between(10_000, 33_000_000L, -5_000, -16_500_000L, 60_000);

    assertThat(amounts.charged() / 7.2e9).isCloseTo(0.0555556, within(1e-7));
    assertThat(amounts.discharged() / 7.2e9).isCloseTo(0.0138889, within(1e-7));
    assertThat(amounts.charged() - amounts.discharged()).isEqualTo(5_000L * 60_000);
  }

  /** Ramp 10 + 0.01 t A over an hour: exactly 28 Ah at any step. */
  @Test
  void aRampIsExactAtAnyStep() {
    for (int step : new int[] {1, 60, 300, 900}) {
      assertThat(count(step, 3600, t -> 10_000 + 10 * t)).isCloseTo(28.0, within(1e-12));
    }
  }

  /** Half a sine of 20 A over 10 h: 400/pi Ah; trapezoids of 300, 900 and 3600 s fall short. */
  @Test
  void aSolarDayByTheTrapezoidRule() {
    LongUnaryOperator sine = t -> Math.round(20_000 * Math.sin(Math.PI * t / 36_000));

    assertThat(count(300, 36_000, sine)).isCloseTo(127.316682, within(1e-3));
    assertThat(count(900, 36_000, sine)).isCloseTo(127.258498, within(1e-3));
    assertThat(count(3600, 36_000, sine)).isCloseTo(126.275030, within(2e-3));
  }

  @Test
  void partsOfAStepMakeUpTheWhole() {
    LogFeed feed = new LogFeed(PLAN);
    Flow flow = feed.moment().flow();
    feed.take(reading(0, 7_001));
    feed.take(reading(1_000, -3_333));
    assertThat(flow.isCounted()).isTrue();

    Amounts first = flow.firstPart(333);
    Tally parts = new Tally();
    parts.add(first);
    double whole = flow.amounts().net() / 7.2e9;
    parts.add(flow.amounts().without(first));

    assertThat(parts.netAh()).isEqualTo(whole);
    assertThat(parts.durationMs()).isEqualTo(1_000);
  }

  @Test
  void nothingIsCountedAcrossALongGap() {
    LogFeed feed = new LogFeed(PLAN);
    Flow flow = feed.moment().flow();
    feed.take(reading(0, 1_000));
    feed.take(new Gap(0, 90_000, Gap.Cause.NO_BYTES));

    feed.take(reading(91_000, 1_000));
    assertThat(flow.isCounted()).isFalse();
  }

  /** A restart right behind the first reading after it, say. */
  @Test
  void whatALongGapMayHaveHeldIsToldByOneEntryAlone() {
    LogFeed feed = new LogFeed(PLAN);
    Flow flow = feed.moment().flow();
    feed.take(reading(0, 1_000));
    feed.take(new Gap(0, 90_000, Gap.Cause.NO_BYTES));
    feed.take(reading(91_000, 1_000));
    assertThat(flow.isAcrossGap()).isTrue();

    feed.take(new Gap(91_000, 92_000, Gap.Cause.NO_BYTES));
    assertThat(flow.isAcrossGap()).isFalse();
  }

  @Test
  void aMissingCurrentIsNotZero() {
    LogFeed feed = new LogFeed(PLAN);
    Flow flow = feed.moment().flow();
    feed.take(reading(0, 1_000));

    feed.take(Reading.at(1_000).cells(CellVoltages.ofMv(3300)).build());
    assertThat(flow.isCounted()).isFalse();
    feed.take(reading(2_000, 1_000));
    assertThat(flow.isCounted()).isFalse();
    feed.take(reading(3_000, 1_000));
    assertThat(flow.isCounted()).isTrue();
  }

  @Test
  void theHiddenLoadIsTakenOff() {
    PackPlan plan = PLAN.toBuilder().hiddenLoadMa(200).build();
    LogFeed feed = new LogFeed(plan);
    Flow flow = feed.moment().flow();
    feed.take(reading(0, 0));
    feed.take(reading(1_000, 0));

    assertThat(flow.currentMa()).isEqualTo(-200);
    assertThat(flow.amounts().discharged()).isEqualTo(2L * 200 * 1_000);
  }

  @Test
  void energySumsDoNotOverflowAndAreKeptExactly() {
    Tally tally = new Tally();
    Amounts step = new Amounts();
    step.between(-500_000, -25_000_000_000L, -500_000, -25_000_000_000L, 1_800_000);
    for (int i = 0; i < 2 * 24 * 3650; i++) {
      tally.add(step);
    }
    Tally restored = new Tally();
    SavedState.of(tally::state).into(restored::state);

    assertThat(restored.dischargedWh()).isEqualTo(25_000.0 * 24 * 3650);
    assertThat(restored.dischargedAh()).isEqualTo(500.0 * 24 * 3650);
  }

  /** A load that goes on and off, shorter or longer than a step, read at times of their own. */
  @Test
  void whatASwitchedCurrentMayBeOffByHoldsAndIsNoMoreThanTwice() {
    int held = 0;
    double squares = 0;
    for (int i = 0; i < SWITCHED; i++) {
      Switched load = new Switched(new SplittableRandom(SEED + i));
      double off = load.tally.netAh() - load.trueAh;
      held += Math.abs(off) <= load.tally.samplingAh() ? 1 : 0;
      squares += off * off / Math.pow(load.tally.samplingAh() / 2, 2) / SWITCHED;
    }

    System.out.println("held " + held + " of " + SWITCHED + ", mean square " + squares);
    assertThat(held).isGreaterThan(SWITCHED * 93 / 100);
    assertThat(squares).as("of the error, by standard deviations").isBetween(0.25, 1.2);
  }

  private static final class Switched {
    private final Tally tally = new Tally();
    private double trueAh;

    Switched(RandomGenerator random) {
      long stepMs = 1000L * random.nextInt(5, 61);
      double onMs = stepMs * 0.1 * Math.pow(50, random.nextDouble());
      double offMs = Math.max(onMs, (double) stepMs) * random.nextDouble(1, 8);
      LogFeed feed = new LogFeed(PLAN);
      Flow flow = feed.moment().flow();
      boolean isOn = false;
      double switchMs = random.nextDouble(offMs);
      double readMs = 0;
      double atMs = 0;
      double endMs = 40 * (onMs + offMs);
      while (atMs < endMs) {
        double next = Math.min(switchMs, readMs);
        trueAh -= isOn ? 20 * (next - atMs) / 3.6e6 : 0;
        atMs = next;
        if (readMs <= switchMs) {
          feed.take(reading(Math.round(readMs), isOn ? -20_000 : 0));
          if (flow.isCounted()) {
            tally.add(flow.amounts());
          }
          readMs += stepMs * random.nextDouble(0.95, 1.05);
        } else {
          isOn = !isOn;
          switchMs += (isOn ? onMs : offMs) * random.nextDouble(0.7, 1.3);
        }
      }
    }
  }

  private static double count(int stepSeconds, int seconds, LongUnaryOperator milliamps) {
    LogFeed feed = new LogFeed(PLAN);
    Flow flow = feed.moment().flow();
    Tally tally = new Tally();
    for (int t = 0; t <= seconds; t += stepSeconds) {
      feed.take(reading(t * 1000L, (int) milliamps.applyAsLong(t)));
      if (flow.isCounted()) {
        tally.add(flow.amounts());
      }
    }
    return tally.netAh();
  }

  private static Reading reading(long ms, int milliamps) {
    return Reading.at(ms).currentMa(milliamps).cells(CellVoltages.ofMv(3300)).build();
  }
}
