package org.cellherd.pack;

/** Where time comes from; only the program's wiring asks the system. */
public interface TimeSource {

  /** Wall clock, ms UTC. May step. */
  long wallMs();

  /** Monotonic clock in ns; only differences mean anything. */
  long monotonicNanos();

  /** A monotonic clock in ns that runs on while the computer is suspended. */
  default long sinceBootNanos() {
    return monotonicNanos();
  }

  /** True when the kernel reports the wall clock as synchronised. */
  boolean isWallSure();

  /** Waits on this clock; a simulated clock jumps. */
  void sleepNanos(long nanos) throws InterruptedException;
}
