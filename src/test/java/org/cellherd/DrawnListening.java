package org.cellherd;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.Rules;
import org.cellherd.pack.PackPlan;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.SimulatedRig;
import org.cellherd.toml.Problems;

/**
 * A scenario's first pack as it is heard by chance: at a pace between 0.5 and 60 s that varies by a
 * tenth, with a share of the readings missing, perhaps a hole of an hour or more, and a board of
 * drawn resolution and dead zone. The same seed hears the same.
 */
final class DrawnListening {
  private static final double[] MISSING = {0, 0.05, 0.2};
  private static final double[] STEPS_MV = {0.1, 1, 2, 5};
  private static final int[] ZERO_BELOW_MA = {0, 100, 500, 1000};
  private static final long HOUR_MS = 3_600_000;
  private static final long DAY_MS = 24 * HOUR_MS;

  private final Random random;
  private final Scenario scenario;
  private final double paceMs;
  private final double missing;
  private final long holeFromMs;
  private final long holeToMs;
  private final WatchedPack pack;
  private final List<AlertEvent> events = new ArrayList<>();

  /** Draws how a scenario's text is heard. */
  DrawnListening(String text, long seed, double fastestS, double slowestS) {
    // Small seeds draw alike first values unless they are spread.
    random = new Random(seed * 0x9E3779B97F4A7C15L);
    paceMs = 1000 * fastestS * Math.pow(slowestS / fastestS, random.nextDouble());
    missing = MISSING[random.nextInt(MISSING.length)];
    scenario = drawnBoard(text, seed);
    PackPlan plan = scenario.plans().get(0);
    long poll = Math.max(100, Math.round(paceMs));
    pack = new WatchedPack(plan, Rules.defaults(plan).withPollMs(poll), true);
    long hours = (scenario.endMs() - scenario.startMs()) / HOUR_MS;
    boolean hasHole = random.nextInt(3) == 0;
    holeFromMs = scenario.startMs() + (long) ((0.1 + 0.8 * random.nextDouble()) * hours * HOUR_MS);
    holeToMs = hasHole ? holeFromMs + (long) ((1 + random.nextDouble()) * HOUR_MS) : holeFromMs;
  }

  private Scenario drawnBoard(String text, long seed) {
    String board =
        String.format(
            Locale.ROOT,
            "[pack.board]%ncell_step_mv = %.1f%nzero_below_ma = %d%n",
            STEPS_MV[random.nextInt(STEPS_MV.length)],
            ZERO_BELOW_MA[random.nextInt(ZERO_BELOW_MA.length)]);
    String drawn =
        text.replaceAll("(?m)^(zero_below_ma|cell_step_mv|poll_s) = .*$", "")
            .replaceFirst("(?m)^\\[pack.board]$", board)
            .replaceFirst("(?m)^hours", "poll_s = 1\nhours");
    Problems problems = new Problems();
    return Scenario.read("drawn.toml", drawn, problems)
        .orElseThrow(() -> new IllegalArgumentException(problems.toString()))
        .withSeed(seed);
  }

  /** Runs it to its end. */
  DrawnListening run() {
    SimulatedRig rig = scenario.rig();
    double next = scenario.startMs();
    while (next <= scenario.endMs()) {
      long timeMs = Math.round(next);
      rig.stepTo(timeMs);
      boolean isHeard = random.nextDouble() >= missing;
      if (isHeard && (timeMs < holeFromMs || timeMs >= holeToMs)) {
        events.addAll(pack.accept(rig.measured(0).atTime(timeMs)));
      }
      next += paceMs * (0.9 + 0.2 * random.nextDouble());
    }
    return this;
  }

  /** Alerts as they were raised, in order. */
  List<Alert> raised() {
    return events.stream().filter(e -> e.change() == Change.RAISED).map(AlertEvent::alert).toList();
  }

  /** How often each rule was raised. */
  Map<RuleId, Integer> counts() {
    Map<RuleId, Integer> counts = new TreeMap<>();
    raised().forEach(a -> counts.merge(a.key().rule(), 1, Integer::sum));
    return counts;
  }

  /** The most often that one alert was raised within any 24 h. */
  long mostADay() {
    List<Alert> all = raised();
    return all.stream()
        .mapToLong(
            a ->
                all.stream()
                    .filter(b -> b.key().equals(a.key()))
                    .filter(b -> b.timeMs() >= a.timeMs() && b.timeMs() < a.timeMs() + DAY_MS)
                    .count())
        .max()
        .orElse(0);
  }

  HeardWhole heardWhole() {
    return pack.heardWhole();
  }

  /** How it was drawn. */
  @Override
  public String toString() {
    return String.format(
        Locale.ROOT,
        "%s, seed %d, every %.1f s, %.0f %% missing%s: %s",
        scenario.title(),
        scenario.seed(),
        paceMs / 1000,
        100 * missing,
        holeToMs > holeFromMs ? ", a hole" : "",
        raised().stream().map(a -> a.key().topic() + " " + a.text()).toList());
  }
}
