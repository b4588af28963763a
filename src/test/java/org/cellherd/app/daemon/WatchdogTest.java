package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.concurrent.atomic.AtomicInteger;
import org.cellherd.Await;
import org.junit.jupiter.api.Test;

class WatchdogTest {
  private final Turns time = new Turns();
  private final AtomicInteger bites = new AtomicInteger();

  @Test
  void aThreadThatGoesOnIsLeftAlone() {
    try (Watchdog dog = new Watchdog(time, bites::incrementAndGet)) {
      for (int turn = 0; turn < 30; turn++) {
        time.awaitWait();
        dog.feed();
        time.pass();
      }
      time.awaitWait();

      assertThat(bites).hasValue(0);
    }
  }

  @Test
  void aMinuteWithoutProgressEndsTheProcessOnce() {
    try (Watchdog dog = new Watchdog(time, bites::incrementAndGet)) {
      time.awaitWait();
      dog.feed();
      for (int turn = 0; turn < 5; turn++) {
        time.pass();
        time.awaitWait();
        assertThat(bites).hasValue(0);
      }
      time.pass();

      Await.until("bitten", () -> bites.get() == 1);
      assertThat(time.monotonicNanos()).isEqualTo(Watchdog.PATIENCE_NANOS);
    }
  }

  @Test
  void aProcessThatWasStoppedForMinutesIsNotHung() {
    try (Watchdog dog = new Watchdog(time, bites::incrementAndGet)) {
      for (int turn = 0; turn < 10; turn++) {
        time.awaitWait();
        time.standStill(4 * Watchdog.PATIENCE_NANOS);
        time.pass();
        time.awaitWait();
        dog.feed();
        time.pass();
      }
      time.awaitWait();

      assertThat(bites).hasValue(0);
    }
  }
}
