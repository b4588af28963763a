package org.cellherd;

import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.cellherd.alert.Alert;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.Rules;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Reads what is active of a pack each minute while readings come that lack nothing, and keeps the
 * texts that say otherwise.
 */
final class HeardWhole {
  private static final long MINUTE_MS = 60_000;

  /** The slowest rate that a rule looks at is one over five minutes, or over ten readings. */
  private static final long KNOWN_AFTER_MS = 6 * MINUTE_MS;

  private static final int KNOWN_AFTER = 15;

  /** Spread is judged at the top only, and an hour of emptiness needs a known state of charge. */
  private static final Set<RuleId> NEED_MORE_THAN_READINGS =
      Set.of(Rules.id("spread"), Rules.id("empty-ahead"));

  private static final double PAUSE_POLLS = 2.5;

  private final PackPlan plan;
  private final long pollMs;
  private final Map<String, String> denied = new TreeMap<>();
  private long wholeSinceMs;
  private int wholeReadings;
  private long heardMs;
  private long readMs;

  HeardWhole(PackPlan plan, long pollMs) {
    this.plan = plan;
    this.pollMs = pollMs;
  }

  void look(LogEntry entry, AlertEngine engine) {
    if (!(entry instanceof Reading reading) || !isWhole(reading)) {
      wholeReadings = 0;
      return;
    }
    // After a pause of three polls all rates begin anew.
    wholeReadings = entry.timeMs() - heardMs > PAUSE_POLLS * pollMs ? 0 : wholeReadings;
    heardMs = entry.timeMs();
    wholeSinceMs = wholeReadings++ == 0 ? entry.timeMs() : wholeSinceMs;
    boolean isKnown = wholeReadings > KNOWN_AFTER && entry.timeMs() - wholeSinceMs > KNOWN_AFTER_MS;
    if (isKnown && entry.timeMs() - readMs >= MINUTE_MS) {
      readMs = entry.timeMs();
      engine.standing().forEach(this::read);
    }
  }

  private boolean isWhole(Reading reading) {
    return reading.cells().presentCount() == plan.series()
        && reading.cells().countWithoutPadding(plan.series()) == plan.series()
        && reading.currentMa().isPresent()
        && IntStream.rangeClosed(1, reading.temperatures().count())
            .allMatch(reading.temperatures()::has);
  }

  private void read(Alert alert) {
    boolean isOfReadings = !NEED_MORE_THAN_READINGS.contains(alert.key().rule());
    if (isOfReadings && alert.text().contains("Not confirmed")) {
      denied.putIfAbsent(alert.key().topic(), alert.text());
    }
  }

  /** The first text of each alert that says that nothing confirms it. */
  List<String> denied() {
    return denied.entrySet().stream().map(e -> e.getKey() + ": " + e.getValue()).toList();
  }
}
