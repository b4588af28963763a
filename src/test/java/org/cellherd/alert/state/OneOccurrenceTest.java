package org.cellherd.alert.state;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.LongStream;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.state.Timing.Level;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.Facts;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * A condition that comes and goes by chance for days, with levels, deadbands, pauses from seconds
 * to hours, missing judgements, acknowledgements and restarts. What is one cause is worked out here
 * from the drawn condition alone.
 */
class OneOccurrenceTest {
  private static final long HOUR_MS = 3_600_000;
  private static final long STEP_MS = 10_000;
  private static final long APART_MS = 2 * HOUR_MS;
  private static final int STEPS = 4 * 8640;
  private static final int CRITICAL = 2;
  private static final Timing TIMING =
      new Timing(
          List.of(new Level(Priority.WARNING, 5_000), new Level(Priority.CRITICAL, 30_000)),
          60_000,
          6 * HOUR_MS,
          3);

  static LongStream seeds() {
    long first = Long.getLong("cellherd.seed", 1);
    return LongStream.range(first, first + Integer.getInteger("cellherd.runs", 8));
  }

  /** What the rule saw at one moment; a level below 0 is no judgement. */
  private record Seen(int level, boolean inside) {}

  private static List<Seen> drawn(Random random) {
    List<Seen> seen = new ArrayList<>();
    while (seen.size() < STEPS) {
      int kind = random.nextInt(10);
      int level = kind < 3 ? CRITICAL : kind < 5 ? 1 : kind == 9 ? -1 : 0;
      boolean inside = level == 0 && kind > 5;
      double hours = level > 0 ? 0.5 : 5;
      long steps = Math.round(Math.pow(hours * HOUR_MS / STEP_MS, random.nextDouble()));
      for (long i = 0; i < steps; i++) {
        seen.add(new Seen(level, inside));
      }
    }
    return seen;
  }

  /** One machine, what it told, and the condition as it really was. */
  private static final class Watched {
    private static final AlertKey KEY = new AlertKey("crate", CellHigh.ID, 1);
    AlertMachine machine = new AlertMachine(KEY, "mV", TIMING);
    final List<AlertEvent> told = new ArrayList<>();
    final List<AlertEvent> now = new ArrayList<>();
    final int[] seenSo = new int[CRITICAL + 1];
    final long[] soMs = new long[CRITICAL + 1];
    long ageMs;
    long heldMs = -APART_MS;
    long readyMs = -APART_MS;
    long goneMs;
    boolean holds;
    boolean wasJudged;

    private final Teller teller =
        new Teller() {
          @Override
          public boolean hasRoom() {
            return true;
          }

          @Override
          public void tell(AlertEvent event) {
            now.add(event);
          }
        };

    Pulse pulse() {
      return new Pulse(1_767_225_600_000L + ageMs, ageMs, STEP_MS, 0, 1, true, ZoneOffset.UTC);
    }

    void take(Seen seen) {
      double value = 3600 + 50 * seen.level();
      take(seen, value, 3600, "Cell 1 high");
    }

    void take(Seen seen, double value, double limit, String what) {
      ageMs += STEP_MS;
      now.clear();
      if (seen.level() < 0) {
        machine.missing();
      } else {
        Words words = Words.of(what, "Stop.", Facts.NONE);
        machine.judge(
            new Judgement(seen.level(), seen.inside(), value, limit, () -> words), pulse(), teller);
      }
      machine.repeat(pulse(), teller);
      told.addAll(now);
    }

    /** Follows the truth beside the machine: how long each level held without a break. */
    void follow(Seen seen) {
      for (int level = 1; seen.level() >= 0 && level <= CRITICAL; level++) {
        boolean isSo = seen.level() >= level;
        // The time across a missing judgement does not count.
        soMs[level] = isSo && seenSo[level] > 0 ? soMs[level] + (wasJudged ? STEP_MS : 0) : 0;
        seenSo[level] = isSo ? seenSo[level] + 1 : 0;
      }
      long creditMs = wasJudged ? STEP_MS : 0;
      wasJudged = seen.level() >= 0;
      if (!wasJudged) {
        return;
      }
      goneMs = seen.inside() ? goneMs + creditMs : holds ? 0 : goneMs + creditMs;
      holds = isReady(1) || (holds && goneMs <= TIMING.offDelayMs());
      boolean isOutside = holds && !seen.inside();
      heldMs = isOutside ? ageMs : heldMs;
      goneMs = isReady(1) ? 0 : goneMs;
      readyMs = isReady(1) ? ageMs : readyMs;
    }

    boolean isReady(int level) {
      return seenSo[level] >= 3 && soMs[level] >= TIMING.levels().get(level - 1).onDelayMs();
    }

    void acknowledge() {
      now.clear();
      machine.acknowledge("ann", pulse(), teller);
      told.addAll(now);
    }

    void restart() {
      SavedState out = SavedState.of(machine::state);
      machine = new AlertMachine(KEY, "mV", TIMING);
      out.into(machine::state);
    }

    boolean stands() {
      return machine.stands() && machine.state() != AlertState.RETURNED;
    }
  }

  private static boolean isFirst(AlertEvent event) {
    return (event.change() == Change.RAISED || event.change() == Change.ESCALATED)
        && event.alert().priority() == Priority.CRITICAL;
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void aCriticalCauseIsRaisedOnceAndNeverSwallowed(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    Watched watched = new Watched();
    int raised = 0;
    int told = 0;
    for (Seen seen : drawn(random)) {
      boolean wasStanding = watched.stands();
      boolean wasReady = watched.isReady(CRITICAL);
      // Time that nobody judged may count as a pause or not.
      raised = watched.ageMs + STEP_MS - watched.readyMs > APART_MS ? 0 : raised;
      told = watched.goneMs > APART_MS + 4 * STEP_MS ? 0 : told;
      watched.take(seen);
      watched.follow(seen);
      String when = "seed " + seed + " at " + watched.ageMs / 1000 + " s: " + watched.now;
      int first = (int) watched.now.stream().filter(OneOccurrenceTest::isFirst).count();
      raised += first;
      told += first;
      assertThat(raised).as(when).isLessThanOrEqualTo(1);
      if (watched.isReady(CRITICAL)) {
        assertThat(watched.stands()).as(when).isTrue();
        assertThat(told).as(when).isGreaterThanOrEqualTo(1);
        assertThat(watched.machine.alert(watched.pulse()).priority()).isEqualTo(Priority.CRITICAL);
        boolean isNew = !wasReady && !wasStanding;
        assertThat(isNew && watched.now.isEmpty()).as(when).isFalse();
      }
      if (random.nextInt(500) == 0) {
        watched.acknowledge();
      }
    }
  }

  /** Each level has its own limit: a milder excursion of earlier never hides a later, worse one. */
  @ParameterizedTest
  @MethodSource("seeds")
  void whatIsOverIsToldByTheHighestValueSinceItBegan(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    Watched watched = new Watched();
    NavigableMap<Long, Double> values = new TreeMap<>();
    int over = 0;
    long raisedMs = 0;
    for (Seen seen : drawn(random)) {
      double limit = 3550 + 50 * seen.level();
      double value = seen.level() > 0 ? limit + 1 + random.nextInt(49) : 3500;
      watched.take(seen, value, limit, "Cell 1 at " + value);
      if (seen.level() > 0) {
        values.put(watched.pulse().timeMs(), value);
      }
      for (AlertEvent event : watched.now) {
        raisedMs = event.change() == Change.RAISED ? event.alert().timeMs() : raisedMs;
        boolean isOver = event.change() == Change.CLEARED || event.change() == Change.RETURNED;
        Optional<Alert.Peak> peak = isOver ? Alert.Peak.of(event.alert()) : Optional.empty();
        if (peak.isPresent()) {
          // What comes again counts from when it is known to hold and is reported.
          long heldMs = event.alert().sinceMs() + TIMING.levels().get(CRITICAL - 1).onDelayMs();
          long fromMs = Math.max(raisedMs, heldMs);
          double highest = values.tailMap(fromMs, true).values().stream().reduce(0.0, Math::max);
          double told = Double.parseDouble(peak.get().what().replace("Cell 1 at ", ""));
          assertThat(told).as("seed %d: %s", seed, event).isGreaterThanOrEqualTo(highest);
          over++;
        }
      }
    }
    assertThat(over).isPositive();
  }

  /** Unseen, it is told every 30 min at the latest while it holds, and never while it is gone. */
  @ParameterizedTest
  @MethodSource("seeds")
  void anUnseenCriticalAlertRepeatsWhileItHolds(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    Watched watched = new Watched();
    long toldMs = 0;
    for (Seen seen : drawn(random)) {
      watched.take(seen);
      watched.follow(seen);
      String when = "seed " + seed + " at " + watched.ageMs / 1000 + " s";
      toldMs = watched.now.isEmpty() ? toldMs : watched.ageMs;
      if (watched.isReady(CRITICAL)) {
        assertThat(watched.ageMs - toldMs).as(when).isLessThanOrEqualTo(HOUR_MS / 2);
      }
      if (seen.inside() || (watched.goneMs > TIMING.offDelayMs() && !watched.isReady(1))) {
        assertThat(watched.now).as(when).noneMatch(e -> e.change() == Change.REPEATED);
      }
      boolean isLongGone = watched.ageMs - watched.heldMs > APART_MS + 2 * STEP_MS;
      if (isLongGone && seen.inside() && watched.wasJudged && watched.machine.isAlive()) {
        assertThat(watched.machine.state()).as(when).isIn(AlertState.RETURNED, AlertState.CLEARING);
      }
    }
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void aRestartInTheMiddleChangesNothing(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    Watched whole = new Watched();
    Watched cut = new Watched();
    for (Seen seen : drawn(random)) {
      whole.take(seen);
      cut.take(seen);
      if (random.nextInt(300) == 0) {
        cut.restart();
      }
      if (random.nextInt(500) == 0) {
        whole.acknowledge();
        cut.acknowledge();
      }
    }
    assertThat(cut.told).as("seed %d", seed).isEqualTo(whole.told);
  }
}
