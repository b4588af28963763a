package org.cellherd.app.daemon;

import java.util.Comparator;
import org.cellherd.board.LinePoller;
import org.cellherd.pack.SimulatedTime;

/**
 * Drives a daemon on a simulated clock, everything in one thread: the same run comes out the same,
 * and a night takes seconds.
 */
public final class FastForward {

  private final Daemon daemon;
  private final SimulatedTime time;

  /** What to do between two steps. */
  @FunctionalInterface
  public interface AfterStep {
    /** Runs on the daemon's thread. */
    void run() throws InterruptedException;
  }

  /** Drives this daemon, whose clock must be the given one. */
  public FastForward(Daemon daemon, SimulatedTime time) {
    this.daemon = daemon;
    this.time = time;
  }

  /** Lets time pass without a poll, as between two that lie far apart. */
  public void rest(long ms) throws InterruptedException {
    time.advanceMs(ms);
    daemon.workOff();
  }

  /**
   * Waits for the one thread that is not driven: it reads the whole log beside the run when no
   * saved state fits, and when it is ready depends on the computer.
   */
  public void awaitWholeLog() throws InterruptedException {
    daemon.awaitWholeLog();
  }

  /**
   * Runs until the wall clock shows a time, or for so long as there are lines.
   *
   * @param untilNanos monotonic time to stop at
   * @param afterStep called after each step
   */
  public void runUntil(long untilNanos, AfterStep afterStep) throws InterruptedException {
    while (time.monotonicNanos() < untilNanos) {
      LinePoller next =
          daemon.pollers().stream()
              .min(Comparator.comparingLong(LinePoller::nextNanos))
              .orElseThrow(() -> new IllegalStateException("no line to drive"));
      next.step();
      daemon.workOff();
      afterStep.run();
    }
  }
}
