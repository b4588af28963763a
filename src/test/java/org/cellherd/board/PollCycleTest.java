package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.Locale;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.LineSettings;
import org.junit.jupiter.api.Test;

class PollCycleTest {
  private final SimulatedTime time = new SimulatedTime(1_767_225_600_000L);

  @Test
  void sixteenCellsAt9600BaudTakeHardlyMoreThanWireTimeAndTheBoardsDelay()
      throws InterruptedException {
    TinyWire wire = new TinyWire(1);
    wire.cells = new int[16];
    wire.delayNanos = 20_000_000L;
    HeardListener heard = new HeardListener();
    LinePoller poller =
        Loopback.poller(wire, time, TinyDialogue.board("house", 1, Duration.ofNanos(1)), heard);
    poller.step();
    long begun = time.monotonicNanos();
    int polls = 200;

    for (int i = 0; i < polls; i++) {
      poller.step();
    }

    LineSettings line = LineSettings.DEFAULT;
    long cycle = (time.monotonicNanos() - begun) / polls;
    long wireAndDelay = line.wireNanos(2 + 4 + 32) + wire.delayNanos;
    long quiet = HalfDuplexLine.quietNanos(line);
    System.out.printf(
        Locale.ROOT,
        "16 cells at 9600 baud: poll cycle %.2f ms, wire time plus board's delay %.2f ms"
            + " (quiet time of 3.5 characters %.2f ms comes on top): factor %.3f, with the quiet"
            + " time counted %.3f%n",
        cycle / 1e6,
        wireAndDelay / 1e6,
        quiet / 1e6,
        (double) (cycle - quiet) / wireAndDelay,
        (double) cycle / wireAndDelay);
    assertThat(cycle - quiet).isLessThan(wireAndDelay * 105 / 100);
    assertThat(heard.readings()).hasSize(polls);
  }
}
