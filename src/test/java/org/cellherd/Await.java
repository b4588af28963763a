package org.cellherd;

import java.time.Duration;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;

/** Waits for what other threads and programs do: looks again every few ms, and not for ever. */
public final class Await {

  /** Long on a computer with ten programs a core: what holds sooner costs no time. */
  private static final Duration LONG_ENOUGH = Duration.ofMinutes(2);

  private static final long LOOK_EVERY_NANOS = TimeUnit.MILLISECONDS.toNanos(2);

  /** Who has waited long waits on by an eighth of that: looking costs time, too. */
  private static final long LATER_BY = 8;

  private Await() {}

  /** Returns when the condition holds; fails the test when that takes too long. */
  public static void until(String what, BooleanSupplier condition) {
    until(what, LONG_ENOUGH, condition);
  }

  /** The same with its own limit. */
  public static void until(String what, Duration limit, BooleanSupplier condition) {
    long begin = System.nanoTime();
    while (!condition.getAsBoolean()) {
      long waited = System.nanoTime() - begin;
      if (waited > limit.toNanos()) {
        throw new AssertionError("not within " + limit.toSeconds() + " s: " + what);
      }
      LockSupport.parkNanos(Math.max(LOOK_EVERY_NANOS, waited / LATER_BY));
    }
  }
}
