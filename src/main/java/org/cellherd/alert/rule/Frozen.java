package org.cellherd.alert.rule;

import java.util.EnumMap;
import java.util.Map;
import java.util.Objects;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;

/**
 * All analog values stay the same far longer than this log's own noise ever allowed. What the noise
 * allows is learned apart for flowing current, for none, and for a pack held at its top, and only
 * the present kind of moment is judged by it; without current nothing is said before half a day of
 * such readings is known.
 */
final class Frozen extends Rule {
  static final RuleId ID = new RuleId("frozen");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID,
          "the board repeats the same figures, for 30 min, or for 2 min in the knee.",
          Frozen::defaults,
          Frozen::new);

  private static final int LEAST_CHANGES = 20;
  private static final long LEAST_QUIET_MS = 12L * 3_600_000;

  private final RuleSettings set;
  private final Map<Kind, Noise> noises = new EnumMap<>(Kind.class);
  private Kind kind = Kind.QUIET;
  private boolean isKnown;
  private int signature;
  private long sameAgeMs;
  private long lastAgeMs;
  private boolean wasFrozen;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.CRITICAL)
        .number("knee_s", 120, 10, 86_400, "charging in the knee, nothing changes: critical")
        .number("limit_min", 30, 1, 10_000, "otherwise, nothing changes: warning")
        .number("noise_ratio", 10, 1, 1000, "and so many times longer than ever before")
        .delays(0, 0)
        .repeatedAfter(24);
  }

  Frozen(RuleSettings set) {
    super(Terms.plain(set, "min", Priority.WARNING));
    for (Kind each : Kind.values()) {
      noises.put(each, new Noise());
    }
    this.set = set;
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    if (input.fresh().isEmpty()) {
      isKnown = false;
      return;
    }
    boolean flows = input.flowingMa().orElse(0) != 0;
    Phase now = input.view().phase();
    boolean isHeld = now == Phase.HOLD;
    look(input);
    kind = flows ? Kind.FLOWING : isHeld ? Kind.HELD : Kind.QUIET;
    Noise noise = noise(kind);
    long sameMs = input.ageMs() - sameAgeMs;
    boolean inKnee = input.isCharging() && now == Phase.UPPER_KNEE;
    long limitMs = inKnee ? kneeLimit(noise) : isHeld ? heldLimit(noise) : limit(noise, flows);
    int level = sameMs < limitMs ? 0 : inKnee || isHeld ? 2 : 1;
    wasFrozen = level > 0;
    if (out.needs(0, level)) {
      double minutes = level == 0 ? Double.NaN : sameMs / 60_000.0;
      out.judge(
          0,
          new Judgement(level, level == 0, minutes, limitMs / 60_000.0, () -> words(level, sameMs))
              .heldFor(sameMs));
    }
  }

  /**
   * Where sameness began. Rows that lacked for as long as the shortest limit show nothing of what
   * the values did between them: it begins anew after them, and nothing is learned from it.
   */
  private void look(RuleInput input) {
    int same = signature(input.fresh().orElseThrow());
    long holeMs = Math.max(set.ms("knee_s"), 3 * input.pollMs());
    isKnown &= input.ageMs() - lastAgeMs < holeMs;
    lastAgeMs = input.ageMs();
    if (!isKnown || same != signature) {
      if (isKnown && !wasFrozen) {
        noise(kind).ended(input.ageMs() - sameAgeMs);
      }
      isKnown = true;
      signature = same;
      sameAgeMs = input.ageMs();
    }
  }

  private Noise noise(Kind of) {
    return Objects.requireNonNull(noises.get(of));
  }

  /** Everything that a board measures; counters and switches do not count. */
  private static int signature(Reading r) {
    return Objects.hash(r.cells(), r.temperatures(), r.currentMa(), r.packMv());
  }

  /** Cells in the knee rise under a charge, so that no noise excuses the same values for long. */
  private long kneeLimit(Noise noise) {
    return Math.max(set.ms("knee_s"), Math.min(byNoise(noise), set.ms("limit_min")));
  }

  /**
   * A charger that holds the pack at its top, perhaps by a current that the board prints as 0.
   * Voltage and current stand still there by intent: only what they did while held says how long.
   */
  private long heldLimit(Noise noise) {
    return noise.isLearned() ? Math.max(set.ms("knee_s"), byNoise(noise)) : Long.MAX_VALUE;
  }

  private long limit(Noise noise, boolean flows) {
    boolean isLearned = noise.isLearned() && (flows || noise.watchedMs >= LEAST_QUIET_MS);
    return isLearned ? Math.max(set.ms("limit_min"), byNoise(noise)) : Long.MAX_VALUE;
  }

  private long byNoise(Noise noise) {
    return Math.round(noise.longestMs * set.number("noise_ratio"));
  }

  /** Kinds of moment, each with a noise of its own. */
  private enum Kind {
    FLOWING,
    QUIET,
    HELD
  }

  /** How long values stayed the same so far, and then changed after all. */
  private static final class Noise {
    private long longestMs;
    private long watchedMs;
    private int changes;

    void ended(long sameMs) {
      longestMs = Math.max(longestMs, sameMs);
      watchedMs += sameMs;
      changes = Math.min(LEAST_CHANGES, changes + 1);
    }

    boolean isLearned() {
      return changes >= LEAST_CHANGES;
    }

    void state(State io) {
      longestMs = io.number(longestMs);
      watchedMs = io.number(watchedMs);
      changes = io.number(changes);
    }
  }

  private static Words words(int level, long sameMs) {
    return new Words(
        "All values of the board have been the same for " + Spoken.duration(sameMs),
        level == 2 ? "The pack was charging at its top; what the cells do now is not known." : "",
        level == 2
            ? "Stop the charge, then restart the board."
            : "Restart the board, or check whether the line repeats an old frame.",
        Facts.of().put("same_s", sameMs / 1000).build());
  }

  @Override
  public void state(State io) {
    isKnown = io.flag(isKnown);
    signature = io.number(signature);
    sameAgeMs = io.number(sameAgeMs);
    lastAgeMs = io.number(lastAgeMs);
    wasFrozen = io.flag(wasFrozen);
    kind = io.constant(kind);
    noises.values().forEach(n -> n.state(io));
  }
}
