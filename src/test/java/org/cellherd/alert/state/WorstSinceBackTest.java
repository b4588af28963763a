package org.cellherd.alert.state;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.rule.Terms;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;

/**
 * A cell is above its limit now and then, for longer than the delay before it is told, through
 * restarts: each time it is over, its worst is the highest reading since it last began, be that
 * before it was told.
 */
class WorstSinceBackTest {
  private static final int RUNS = Integer.getInteger("cellherd.runs", 100);
  private static final int LIMIT_MV = 3_650;
  private static final int WARN_MV = 3_600;
  private static final long SECOND_MS = 1_000;

  @Test
  void theWorstIsTheHighestReadingSinceItBegan() {
    int over = 0;
    for (int run = 0; run < RUNS; run++) {
      over += new Charges(new Random(20_261_130L * (run + 1))).live();
    }
    assertThat(over).isGreaterThan(3 * RUNS);
  }

  /** One cell at the tops of some charges. */
  private static final class Charges implements Teller {
    private record Sample(long timeMs, int mv) {}

    private final Random random;
    private final Terms terms;
    private final List<Sample> samples = new ArrayList<>();
    private AlertMachine machine;
    private long ageMs;
    private long session = 1;
    private int over;

    Charges(Random random) {
      this.random = random;
      PackPlan plan = PackPlan.of("crate", Chemistry.LFP, 4, 1, 100_000);
      terms =
          Rules.of(plan, Rules.defaults(plan)).stream()
              .map(rule -> rule.terms())
              .filter(t -> t.id().equals(CellHigh.ID))
              .findFirst()
              .orElseThrow();
      machine = fresh();
    }

    int live() {
      for (int top = 0; top < 12; top++) {
        boolean isCritical = random.nextBoolean();
        int least = isCritical ? LIMIT_MV + 1 : WARN_MV + 1;
        int most = isCritical ? 3_900 : LIMIT_MV;
        hold(30 + random.nextInt(300), least, most);
        hold(70 + random.nextInt(9_000), 3_300, WARN_MV - 50);
        switch (random.nextInt(6)) {
          case 0 -> restart();
          case 1 -> machine.acknowledge("ann", pulse(), this);
          default -> {}
        }
      }
      return over;
    }

    private void hold(int seconds, int leastMv, int mostMv) {
      for (int i = 0; i < seconds; i++) {
        ageMs += SECOND_MS;
        int mv = leastMv + random.nextInt(mostMv - leastMv + 1);
        samples.add(new Sample(pulse().timeMs(), mv));
        machine.judge(judgement(mv), pulse(), this);
      }
    }

    private static Judgement judgement(int mv) {
      int level = mv > LIMIT_MV ? 2 : mv > WARN_MV ? 1 : 0;
      double limit = level == 1 ? WARN_MV : LIMIT_MV;
      return new Judgement(level, mv <= WARN_MV - 10, mv, limit, () -> words(mv));
    }

    private static Words words(int mv) {
      return Words.of("Cell 1 at " + mv + " mV", "Stop.", Facts.NONE);
    }

    private void restart() {
      session++;
      SavedState out = SavedState.of(machine::state);
      machine = fresh();
      out.into(machine::state);
    }

    private AlertMachine fresh() {
      return new AlertMachine(new AlertKey("crate", terms.id(), 1), terms.unit(), terms.timing());
    }

    private Pulse pulse() {
      return new Pulse(
          1_767_225_600_000L + ageMs, ageMs, SECOND_MS, 0, session, true, ZoneOffset.UTC);
    }

    @Override
    public boolean hasRoom() {
      return true;
    }

    @Override
    public void tell(AlertEvent event) {
      if (event.change() == Change.RETURNED || event.change() == Change.CLEARED) {
        over++;
        long since = event.alert().sinceMs();
        int highest =
            samples.stream().filter(s -> s.timeMs() >= since).mapToInt(Sample::mv).max().orElse(0);
        assertThat(Alert.Peak.of(event.alert()).orElseThrow().what())
            .as("since %d of %d", since, pulse().timeMs())
            .isEqualTo("Cell 1 at " + highest + " mV");
      }
    }
  }
}
