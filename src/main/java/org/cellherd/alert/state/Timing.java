package org.cellherd.alert.state;

import java.util.List;
import org.cellherd.alert.Priority;

/**
 * The delays of one rule.
 *
 * @param levels from the mildest to the worst, at least one
 * @param offDelayMs the condition must be gone this long
 * @param repeatMs below critical: told again after this long, never when 0
 * @param leastSamples a level is told after at least so many judgements in a row
 * @param same what makes it the same occurrence when it comes back
 */
public record Timing(
    List<Level> levels, long offDelayMs, long repeatMs, int leastSamples, Same same) {

  /** Three readings: one wrong frame is no alarm. */
  public static final int LIVE_SAMPLES = 3;

  /** What makes one occurrence of what comes back. */
  public enum Same {
    /** It was gone for less than two hours. */
    SOON,
    /** The same, or it comes in the same charge or discharge. */
    CHARGE,
    /** It comes soon and its words are the same: they name the cause. */
    WORDS;
  }

  /**
   * One level.
   *
   * @param priority how bad
   * @param onDelayMs the condition must hold this long
   */
  public record Level(Priority priority, long onDelayMs) {}

  /** Delays of what may come at any time. */
  public Timing(List<Level> levels, long offDelayMs, long repeatMs, int leastSamples) {
    this(levels, offDelayMs, repeatMs, leastSamples, Same.SOON);
  }

  /** The same delays where something else makes it the same occurrence. */
  public Timing with(Same other) {
    return new Timing(levels, offDelayMs, repeatMs, leastSamples, other);
  }

  /** Copies the list and refuses an empty one. */
  public Timing {
    levels = List.copyOf(levels);
    if (levels.isEmpty()) {
      throw new IllegalArgumentException("a rule needs at least one level");
    }
  }

  /** Priority of a level, from 1. */
  public Priority priority(int level) {
    return levels.get(level - 1).priority();
  }

  /** The worst level that is no worse than a priority; 1 when there is none. */
  public int levelOf(Priority priority) {
    for (int level = levels.size(); level > 1; level--) {
      if (priority(level).compareTo(priority) >= 0) {
        return level;
      }
    }
    return 1;
  }
}
