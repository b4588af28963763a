package org.cellherd.alert.state;

import java.util.function.Supplier;

/**
 * What a rule sees at one moment. A moment at which a rule cannot judge is no judgement at all:
 * then the alert stands still.
 *
 * @param level the worst level whose condition holds, from 1; 0 when none does
 * @param inside true when the value is back inside the mildest limit and its deadband
 * @param value the value that matters; NaN when there is none
 * @param limit the limit it is compared with; NaN when there is none
 * @param leastOffMs the off-delay is at least this long, ms
 * @param heldMs for so long the condition has held when a rule sees it that can only see it late,
 *     ms; 0 for all others
 * @param words asked for only while there is something to say
 */
public record Judgement(
    int level,
    boolean inside,
    double value,
    double limit,
    long leastOffMs,
    long heldMs,
    Supplier<Words> words) {

  /** A judgement with the rule's own off-delay. */
  public Judgement(int level, boolean inside, double value, double limit, Supplier<Words> words) {
    this(level, inside, value, limit, 0, 0, words);
  }

  /** A judgement of what is seen as it begins. */
  public Judgement(
      int level,
      boolean inside,
      double value,
      double limit,
      long leastOffMs,
      Supplier<Words> words) {
    this(level, inside, value, limit, leastOffMs, 0, words);
  }

  private static final Judgement FINE =
      new Judgement(0, true, Double.NaN, Double.NaN, () -> Words.NONE);

  public static Judgement fine() {
    return FINE;
  }

  /** The same with a least off-delay, ms. */
  public Judgement after(long offMs) {
    return new Judgement(level, inside, value, limit, Math.max(leastOffMs, offMs), heldMs, words);
  }

  /** The same of a condition that has held for so long already, ms. */
  public Judgement heldFor(long ms) {
    return new Judgement(level, inside, value, limit, leastOffMs, ms, words);
  }

  /** The same before its on-delay has passed, where nothing is said of it yet. */
  Judgement unheeded() {
    return new Judgement(0, inside, value, limit, leastOffMs, heldMs, words);
  }

  /** A condition that holds or not, without limits. */
  public static Judgement when(int level, Supplier<Words> words) {
    return new Judgement(level, level == 0, Double.NaN, Double.NaN, words);
  }
}
