package org.cellherd.analysis.meter;

import java.time.DateTimeException;
import java.time.Instant;
import java.util.Locale;
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

  /** What a meter can be asked about a pack. */
  public enum Quantity {
    /** Current through the pack, positive while charging. */
    CURRENT("current", "A"),
    /** Voltage of one cell, at its terminals. */
    CELL("cell", "V"),
    /** Voltage of the whole pack. */
    PACK("voltage", "V"),
    /** Net charge into the pack over a time. */
    CHARGE("charge", "Ah"),
    /** Net energy into the pack over a time. */
    ENERGY("energy", "Wh"),
    /** Temperature at one of the board's sensors. */
    TEMPERATURE("temperature", "degC");

    private final String word;
    private final String unit;

    Quantity(String word, String unit) {
      this.word = word;
      this.unit = unit;
    }

    public String word() {
      return word;
    }

    /** The unit in which it is written. */
    public String unit() {
      return unit;
    }

    /** True for what has a number: which cell, which sensor. */
    public boolean isNumbered() {
      return this == CELL || this == TEMPERATURE;
    }

    /** True for what a counter adds up over a time. */
    public boolean isCounted() {
      return this == CHARGE || this == ENERGY;
    }
  }

  /**
   * Accuracy of a meter as its sheet states it: a share of the reading and a constant.
   *
   * @param percent share of the reading, %, 0 to 20
   * @param constant constant part, in the unit of the reading, not negative
   */
  public record Accuracy(double percent, double constant) {

    /** A meter worse than this narrows nothing. */
    private static final double MOST_PERCENT = 20;

    private static final Pattern TERM =
        Pattern.compile("([0-9]{1,6}(?:\\.[0-9]{1,6})?)\\s*(%|mV|V|mA|A|mAh|Ah|Wh|degC|\u00b0C)");

    /** Refuses what is no accuracy. */
    public Accuracy {
      if (!(percent >= 0 && percent <= MOST_PERCENT && constant >= 0 && percent + constant > 0)) {
        throw new IllegalArgumentException(
            "an accuracy is more than nothing and no share above " + plain(MOST_PERCENT) + " %");
      }
    }

    /** By how much the meter may be wrong at a value, in the value's unit. */
    public double errorAt(double value) {
      return Math.abs(value) * percent / 100 + constant;
    }

    /**
     * The accuracy that a text states, as {@code 0.5 % + 2 mV} or {@code 1.5 %}.
     *
     * @param unit the unit of the reading
     * @throws IllegalArgumentException with what would be right
     */
    public static Accuracy of(String text, String unit) {
      double percent = 0;
      double constant = 0;
      for (String part : text.strip().split("\\s*\\+\\s*", -1)) {
        Matcher term = TERM.matcher(part);
        if (!term.matches()) {
          throw wrong(text, unit);
        }
        double value = Double.parseDouble(term.group(1));
        if (term.group(2).equals("%")) {
          percent += value;
        } else {
          constant +=
              value * scale(term.group(2).replace('\u00b0', 'd').replace("dC", "degC"), unit, text);
        }
      }
      return new Accuracy(percent, constant);
    }

    private static double scale(String given, String unit, String text) {
      if (given.equals(unit)) {
        return 1;
      }
      if (given.equals("m" + unit)) {
        return 0.001;
      }
      throw wrong(text, unit);
    }

    private static IllegalArgumentException wrong(String text, String unit) {
      return new IllegalArgumentException(
          "\""
              + text
              + "\" is no accuracy; write it as on the meter's sheet: 0.5 % + 0.02 "
              + unit);
    }

    /** As {@link #of} reads it. */
    public String text(String unit) {
      String share = plain(percent) + " %";
      String fixed = plain(constant) + " " + unit;
      if (constant == 0) {
        return share;
      }
      return percent == 0 ? fixed : share + " + " + fixed;
    }

    static String plain(double value) {
      String text = String.format(Locale.ROOT, "%.6f", value);
      return text.replaceAll("\\.?0+$", "");
    }
  }
}
