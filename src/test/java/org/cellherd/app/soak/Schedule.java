package org.cellherd.app.soak;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.SimulatedTime;

/** The mishaps of one run, by the monotonic clock. */
final class Schedule {

  private static final long LONGEST_NANOS = 3 * 3_600_000_000_000L;

  private record Due(long atNanos, Runnable work) {}

  private final SimulatedTime time;
  private final Random random;
  private final long untilNanos;
  private final List<Due> waiting = new ArrayList<>();

  Schedule(SimulatedTime time, Random random, long untilNanos) {
    this.time = time;
    this.random = random;
    this.untilNanos = untilNanos;
  }

  /** A mishap at some time of the run. */
  void later(Stage stage, Mishap mishap) {
    long now = time.monotonicNanos();
    during(stage, mishap, now + (long) (random.nextDouble() * (untilNanos - now)));
  }

  /** A mishap from a time on, for a while. */
  void during(Stage stage, Mishap mishap, long fromNanos) {
    long most = Math.min(LONGEST_NANOS, untilNanos - fromNanos);
    long lasts = (long) (random.nextDouble() * most);
    waiting.add(new Due(fromNanos, () -> stage.begin(mishap)));
    waiting.add(new Due(fromNanos + lasts, () -> stage.end(mishap)));
    waiting.sort(Comparator.comparingLong(Due::atNanos));
  }

  /** Does what is due. */
  void play() {
    while (!waiting.isEmpty() && waiting.get(0).atNanos() <= time.monotonicNanos()) {
      waiting.remove(0).work().run();
    }
  }

  /** Does what is left: every mishap ends with its run. */
  void end() {
    waiting.forEach(due -> due.work().run());
    waiting.clear();
  }
}
