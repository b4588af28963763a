package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.pack.TimeSource;
import org.junit.jupiter.api.Test;

class SessionClockTest {

  private static final long START = 1_767_225_600_000L;

  @Test
  void timeRunsWithTheMonotonicClock() {
    SimulatedTime time = new SimulatedTime(START);
    SessionClock clock =
        new SessionClock(time, new SessionClock.Known(Long.MIN_VALUE, Long.MAX_VALUE));
    time.advanceMs(5_000);
    time.stepWallMs(1_500);

    assertThat(clock.nowMs()).isEqualTo(START + 5_000);
    assertThat(clock.check()).isEmpty();
  }

  @Test
  void stepForwardMovesTheAnchorAndIsTold() {
    SimulatedTime time = new SimulatedTime(START);
    SessionClock clock =
        new SessionClock(time, new SessionClock.Known(Long.MIN_VALUE, Long.MAX_VALUE));
    time.advanceMs(10_000);
    time.stepWallMs(3_600_000);

    assertThat(clock.check()).hasValue(new ClockStep(START + 10_000, START + 3_610_000));
    assertThat(clock.nowMs()).isEqualTo(START + 3_610_000);
    assertThat(clock.check()).isEmpty();
  }

  @Test
  void whatWasHeardBeforeAStepIsDatedByItsOwnAnchorThenByTheNew() {
    SimulatedTime time = new SimulatedTime(START);
    SessionClock clock =
        new SessionClock(time, new SessionClock.Known(Long.MIN_VALUE, Long.MAX_VALUE));
    time.advanceMs(10_000);
    Reading heard = Reading.at(clock.lineMs()).build();
    time.stepWallMs(3_600_000);

    assertThat(clock.wall(heard).timeMs()).isEqualTo(START + 10_000);
    clock.check();
    assertThat(clock.wall(heard).timeMs()).isEqualTo(START + 3_610_000);
    assertThat(clock.wall(new Gap(START, START + 5, Gap.Cause.NO_BYTES)))
        .isEqualTo(new Gap(START + 3_600_000, START + 3_600_005, Gap.Cause.NO_BYTES));
  }

  @Test
  void suspendedComputerLeavesAGapAndNoStep() {
    SimulatedTime time = new SimulatedTime(START);
    long[] asleepNanos = {0};
    TimeSource sleepy =
        new TimeSource() {
          @Override
          public long wallMs() {
            return time.wallMs() + asleepNanos[0] / 1_000_000;
          }

          @Override
          public long monotonicNanos() {
            return time.monotonicNanos();
          }

          @Override
          public long sinceBootNanos() {
            return time.monotonicNanos() + asleepNanos[0];
          }

          @Override
          public boolean isWallSure() {
            return true;
          }

          @Override
          public void sleepNanos(long nanos) {}
        };
    SessionClock clock =
        new SessionClock(sleepy, new SessionClock.Known(Long.MIN_VALUE, Long.MAX_VALUE));
    time.advanceMs(1_000);
    asleepNanos[0] = 7_200_000_000_000L;

    assertThat(clock.check())
        .hasValue(new Gap(START + 1_000, START + 7_201_000, Gap.Cause.NOT_RUNNING));
    assertThat(clock.check()).isEmpty();
    assertThat(clock.nowMs()).isEqualTo(START + 7_201_000);
  }

  @Test
  void wallClockBeforeTheNewestStoredRowIsNotBelieved() {
    SimulatedTime time = new SimulatedTime(0);
    SessionClock clock = new SessionClock(time, new SessionClock.Known(START, Long.MAX_VALUE));

    assertThat(clock.isSure()).isFalse();
    assertThat(clock.nowMs()).isEqualTo(START + 1);
  }

  @Test
  void stepBackIsFollowedOnlyWhenTheKernelVouchesForIt() {
    SimulatedTime time = new SimulatedTime(START);
    time.setWallSure(false);
    SessionClock clock =
        new SessionClock(time, new SessionClock.Known(Long.MIN_VALUE, Long.MAX_VALUE));
    time.advanceMs(60_000);
    time.stepWallMs(-30_000);
    assertThat(clock.check()).isEmpty();

    time.setWallSure(true);

    assertThat(clock.check()).hasValue(new ClockStep(START + 60_000, START + 30_000));
    assertThat(clock.isSure()).isTrue();
  }

  @Test
  void clockBecomesSureWithoutAStep() {
    SimulatedTime time = new SimulatedTime(START);
    time.setWallSure(false);
    SessionClock clock =
        new SessionClock(time, new SessionClock.Known(Long.MIN_VALUE, Long.MAX_VALUE));
    assertThat(clock.isSure()).isFalse();

    time.setWallSure(true);
    assertThat(clock.check()).isEmpty();

    assertThat(clock.isSure()).isTrue();
  }

  /** Clocks that nothing vouches for, drawn against logs that may be ahead. */
  @Test
  void anImportAheadDragsNothingAndAClockBehindItsOwnRunsIsNotBelieved() {
    long day = 86_400_000L;
    java.util.Random random = new java.util.Random(14);
    for (int draw = 0; draw < 500; draw++) {
      long first = START - (2 + random.nextInt(300)) * day;
      long truth = START + random.nextInt((int) day);
      long ahead = 1 + random.nextInt(3 * 3_600_000) * (random.nextBoolean() ? 1L : 3_000);
      // What is ahead was imported, or a run heard it by a clock that may have been right.
      boolean isImported = random.nextBoolean();
      SessionClock.Known known =
          new SessionClock.Known(truth + ahead, isImported ? truth - 1000 : truth + ahead);
      SimulatedTime time = new SimulatedTime(truth);
      time.setWallSure(false);

      SessionClock clock = new SessionClock(time, known);
      clock.check();
      assertThat(clock.nowMs())
          .as("draw %d", draw)
          .isEqualTo(isImported ? truth : known.newestMs() + 1);
      assertThat(clock.logAheadMs()).isEqualTo(ahead);

      SimulatedTime fallen = new SimulatedTime(first - 1 - random.nextInt(1000) * day);
      fallen.setWallSure(false);
      SessionClock kept = new SessionClock(fallen, known);
      assertThat(kept.check()).isEmpty();
      assertThat(kept.nowMs()).as("draw %d", draw).isEqualTo(known.newestMs() + 1);
    }
  }
}
