package org.cellherd.alert;

import java.util.regex.Pattern;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/**
 * By how much the clock was wrong whose times an alert's text tells. It travels among the alert's
 * evidence once the alert was given its right times.
 *
 * @param aheadMs positive when it was ahead, ms
 */
public record ClockError(long aheadMs) {
  private static final String AHEAD = "clock_ahead_s";
  private static final String SAID = " Times in this text are by a clock that was ";

  /** The sentence on it, with the blank before it. */
  public static final Pattern SENTENCE = Pattern.compile(SAID + "[^.]+\\.");

  /** What an alert's evidence says of it. */
  public static ClockError of(Facts evidence) {
    return new ClockError(Math.round(evidence.number(AHEAD).orElse(0) * 1000));
  }

  /** The evidence of an alert without what is said of its clock. */
  public static Facts without(Facts evidence) {
    return new Facts(evidence.list().stream().filter(f -> !f.name().equals(AHEAD)).toList());
  }

  /** The same after the times of the alert were moved back by some ms. */
  public ClockError plus(long ms) {
    return new ClockError(aheadMs + ms);
  }

  /** The evidence with this error in place of another. */
  public Facts in(Facts evidence) {
    Facts.Builder facts = Facts.of().putAll(without(evidence));
    return aheadMs == 0 ? facts.build() : facts.put(AHEAD, aheadMs / 1000.0, 3).build();
  }

  /** What is told, with a sentence on its times. */
  public String in(String text) {
    return aheadMs == 0
        ? text
        : text + SAID + Spoken.exactly(Math.abs(aheadMs)) + (aheadMs > 0 ? " ahead." : " behind.");
  }
}
