package org.cellherd.analysis.meter;

import java.time.DateTimeException;
import java.time.Instant;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What a meter said. In the log it is a note in a fixed form, so that it is kept, corrected and
 * withdrawn as notes are.
 *
 * @param quantity what was measured
 * @param number which cell or sensor, from 1; 0 where the quantity has none
 * @param value what the meter said, in the quantity's unit
 * @param accuracy the meter's
 * @param fromMs begin of a count, ms UTC; else the instant
 * @param toMs end of a count, ms UTC; else the instant
 */
public record MeterReading(
    Quantity quantity, int number, double value, Accuracy accuracy, long fromMs, long toMs) {

  /** How such a note begins. */
  public static final String MARK = "Meter: ";

  private static final Pattern FORM =
      Pattern.compile(
          MARK
              + "(\\w+)(?: ([0-9]{1,3}))? (-?[0-9]{1,9}(?:\\.[0-9]{1,6})?) (\\w+) within (.{1,60}?)"
              + "(?: from (\\S{10,40}) to (\\S{10,40}))?");

  /** Refuses what is no reading. */
  public MeterReading {
    boolean isNumberRight = quantity.isNumbered() ? number >= 1 : number == 0;
    boolean isSpanRight = quantity.isCounted() ? fromMs < toMs : fromMs == toMs;
    if (!isNumberRight || !isSpanRight || !Double.isFinite(value)) {
      throw new IllegalArgumentException(
          "no reading of a meter: " + quantity.word() + " " + number + " " + value);
    }
  }

  /** By how much the meter may be wrong, in the quantity's unit. */
  public double error() {
    return accuracy.errorAt(value);
  }

  public String text() {
    String counted =
        quantity.isCounted()
            ? " from " + Instant.ofEpochMilli(fromMs) + " to " + Instant.ofEpochMilli(toMs)
            : "";
    return MARK + says() + " within " + accuracy.text(quantity.unit()) + counted;
  }

  /** What it said: cell 3 3.312 V. */
  public String says() {
    String which = quantity.isNumbered() ? " " + number : "";
    return quantity.word() + which + " " + Accuracy.plain(value) + " " + quantity.unit();
  }

  /**
   * The reading that a note states, or empty where it is an ordinary note.
   *
   * @param atMs the note's time, ms UTC
   */
  public static Optional<MeterReading> of(String text, long atMs) {
    Matcher m = FORM.matcher(text);
    if (!m.matches()) {
      return Optional.empty();
    }
    for (Quantity quantity : Quantity.values()) {
      if (quantity.word().equals(m.group(1)) && quantity.unit().equals(m.group(4))) {
        return of(quantity, m, atMs);
      }
    }
    return Optional.empty();
  }

  private static Optional<MeterReading> of(Quantity quantity, Matcher m, long atMs) {
    boolean isCounted = m.group(6) != null;
    try {
      return Optional.of(
          new MeterReading(
              quantity,
              m.group(2) == null ? 0 : Integer.parseInt(m.group(2)),
              Double.parseDouble(m.group(3)),
              Accuracy.of(m.group(5), quantity.unit()),
              isCounted ? Instant.parse(m.group(6)).toEpochMilli() : atMs,
              isCounted ? Instant.parse(m.group(7)).toEpochMilli() : atMs));
    } catch (IllegalArgumentException | DateTimeException | ArithmeticException anotherForm) {
      return Optional.empty();
    }
  }
}
