package org.cellherd.alert.state;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.stream.Stream;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.rule.Terms;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * What any rule watches comes and goes for days: by its own delays, with its own levels, through
 * restarts, steps of the clock, moments that nobody can judge and people who look. A cause lasts
 * until the condition was gone for two hours; of each there is one occurrence.
 */
class ReturnsOfAnyRuleTest {
  private static final long STEP_MS = 10_000;
  private static final long APART_MS = 2 * 3_600_000;
  private static final int STEPS = 6 * 8640;

  static Stream<Terms> rules() {
    PackPlan plan = PackPlan.of("crate", Chemistry.LFP, 4, 1, 100_000);
    return Rules.of(plan, Rules.defaults(plan)).stream().map(rule -> rule.terms());
  }

  @ParameterizedTest
  @MethodSource("rules")
  void aCauseIsOneOccurrence(Terms terms) {
    int occurrences = 0;
    for (long seed = 1; seed <= Integer.getInteger("cellherd.runs", 4); seed++) {
      occurrences += new Days(terms, seed).live();
    }
    assertThat(occurrences).as("%s", terms.id()).isGreaterThanOrEqualTo(4);
  }

  /** Some days of one alert. */
  private static final class Days implements Teller {
    private final Terms terms;
    private final AlertKey key;
    private final Random random;
    private final String as;
    private final Set<String> ids = new HashSet<>();
    private final Set<String> ended = new HashSet<>();
    private final Map<Change, Integer> ofThisCause = new EnumMap<>(Change.class);
    private final List<AlertEvent> now = new ArrayList<>();
    private AlertMachine machine;
    private String id = "";
    private long stepMs;
    private long ageMs;
    private long goneMs;
    private long session = 1;
    private final int[] held;
    private boolean ready;
    private boolean stands;
    private int forgotten;

    Days(Terms terms, long seed) {
      this.terms = terms;
      this.key = new AlertKey("crate", terms.id(), 1);
      this.random = new Random(seed * 0x9E3779B97F4A7C15L);
      this.as = terms.id() + ", seed " + seed;
      this.machine = fresh();
      this.held = new int[terms.timing().levels().size()];
    }

    int live() {
      int steps = 0;
      while (steps < STEPS) {
        int kind = random.nextInt(10);
        int level = kind < 4 ? 1 + random.nextInt(terms.timing().levels().size()) : 0;
        boolean isJudged = kind != 9;
        boolean isInside = level == 0 && kind > 4;
        long lasts = Math.round(Math.pow(level > 0 ? 360 : 2000, random.nextDouble()));
        for (long i = 0; i < lasts; i++, steps++) {
          step(isJudged, level, isInside);
        }
        between();
      }
      return ids.size();
    }

    private void step(boolean isJudged, int level, boolean isInside) {
      ageMs += STEP_MS;
      now.clear();
      follow(isJudged, level);
      // Between limit and deadband what holds goes on, and nothing begins.
      boolean holds = stands && goneMs <= terms.timing().offDelayMs();
      goneMs = isReady() || (isJudged && !isInside && holds) ? 0 : goneMs + STEP_MS;
      if (isJudged) {
        machine.judge(
            new Judgement(level, isInside, 3600 + 50.0 * level, 3600, Days::words), pulse(), this);
      } else {
        machine.missing();
      }
      machine.repeat(pulse(), this);
      check();
    }

    /** For how many judgements in a row each level has held. */
    private void follow(boolean isJudged, int level) {
      for (int l = 1; isJudged && l <= held.length; l++) {
        held[l - 1] = level >= l ? held[l - 1] + 1 : 0;
      }
      ready = isJudged && level > 0;
    }

    /** What is too short to be told is no return. */
    private boolean isReady() {
      Timing timing = terms.timing();
      for (int l = 0; ready && l < held.length; l++) {
        if (held[l] >= timing.leastSamples()
            && (held[l] - 1) * STEP_MS >= timing.levels().get(l).onDelayMs()) {
          return true;
        }
      }
      return false;
    }

    /** What else may happen to a program. */
    private void between() {
      now.clear();
      switch (random.nextInt(12)) {
        case 0 -> machine.acknowledge("ann", pulse(), this);
        case 1 -> restartFromItsState();
        case 2 -> restartFromTheLog();
        case 3 -> step(1_800_000 - random.nextInt(3_600_000));
        default -> {}
      }
      check();
    }

    private void restartFromItsState() {
      session++;
      SavedState out = SavedState.of(machine::state);
      machine = fresh();
      out.into(machine::state);
    }

    /**
     * Where no saved state fits. The log does not say what went on after an alert was over: what
     * comes then is another occurrence. How often it came before is not told, either.
     */
    private void restartFromTheLog() {
      session++;
      boolean stands = machine.stands();
      var alert = machine.alert(pulse());
      machine = fresh();
      if (stands) {
        machine.adopt(alert, pulse());
        forgotten++;
      }
      if (!stands || machine.state() == AlertState.RETURNED) {
        ends();
      }
    }

    private void step(long deltaMs) {
      stepMs += deltaMs;
      machine.shift(deltaMs);
    }

    private void check() {
      String when = as + " at " + ageMs / 1000 + " s, gone for " + goneMs / 1000 + ": " + now;
      if (goneMs >= APART_MS - 2 * STEP_MS) {
        ends();
      }
      for (AlertEvent event : now) {
        stands = event.change() != Change.CLEARED && event.change() != Change.RETURNED;
        if (ended.contains(event.alert().id()) && isOfThePast(event.change())) {
          continue;
        }
        if (!id.isEmpty()) {
          assertThat(event.alert().id()).as(when).isEqualTo(id);
        }
        id = event.alert().id();
        ids.add(id);
        ofThisCause.merge(event.change(), 1, Integer::sum);
        assertThat(event.alert().sinceMs()).as(when).isLessThanOrEqualTo(pulse().timeMs());
      }
      assertThat(count(Change.RAISED)).as(when).isLessThanOrEqualTo(1 + forgotten);
      assertThat(count(Change.ESCALATED))
          .as(when)
          .isLessThan(Math.max(1, terms.timing().levels().size()) + forgotten);
      // Its first end may be told before anybody knows that it comes and goes.
      assertThat(count(Change.CLEARED)).as(when).isLessThanOrEqualTo(2 + forgotten);
      assertThat(count(Change.RETURNED)).as(when).isLessThanOrEqualTo(2 + forgotten);
    }

    /** What a cause that has ended may still tell, under its name. */
    private static boolean isOfThePast(Change change) {
      return change == Change.CLEARED || change == Change.RETURNED || change == Change.ACKNOWLEDGED;
    }

    private int count(Change change) {
      return ofThisCause.getOrDefault(change, 0);
    }

    private void ends() {
      ended.add(id);
      ofThisCause.clear();
      forgotten = 0;
      id = "";
    }

    private Pulse pulse() {
      long timeMs = 1_767_225_600_000L + ageMs + stepMs;
      return new Pulse(timeMs, ageMs, STEP_MS, 0, session, true, ZoneOffset.UTC);
    }

    private AlertMachine fresh() {
      return new AlertMachine(key, terms.unit(), terms.timing());
    }

    private static Words words() {
      return Words.of("Cell 1 high", "Stop.", Facts.NONE);
    }

    @Override
    public boolean hasRoom() {
      return true;
    }

    @Override
    public void tell(AlertEvent event) {
      now.add(event);
    }
  }
}
