package org.cellherd.protocol.spec;

import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** One described value, or row of values, in a message's data. Immutable. */
record Field(
    String name,
    Place place,
    Coding coding,
    Repetition repetition,
    Meaning meaning,
    Optional<Condition> when) {

  /**
   * Where a field stands.
   *
   * @param at bit from the beginning of the data, or -1: after the field before it
   * @param over name of a field whose bytes it shares, or ""
   * @param bit lowest bit of a slice, or -1 for the whole number
   * @param bits bits of the slice
   * @param stride bits from one repetition to the next
   */
  public record Place(int at, String over, int bit, int bits, int stride) {}

  /** Where it begins when the field before it ends at a bit: whole bytes do so at a byte. */
  public int startAfter(int position) {
    if (place.at >= 0) {
      return place.at;
    }
    return coding.isWholeBytes() ? (position + 7) / 8 * 8 : position;
  }

  /**
   * How often.
   *
   * @param count fixed count, or the most there may be
   * @param countField name of the field that tells the count, or ""
   * @param upTo name of the field that tells the number of the last one, "" without: what is
   *     numbered higher fills the row, but is nothing
   * @param pages how numbers go on from page to page
   */
  public record Repetition(int count, String countField, String upTo, Optional<PageStep> pages) {

    public static Repetition of(int count) {
      return new Repetition(count, "", "", Optional.empty());
    }
  }

  /**
   * How numbers go on from page to page.
   *
   * @param field name of the field that tells the page
   * @param from the page on which the row begins
   * @param by how many numbers a page is on
   */
  public record PageStep(String field, long from, int by) {
    /** No page is so far away. */
    private static final long FAR = 1 << 20;

    long shift(long page) {
      return Math.max(-FAR, Math.min(page - from, FAR)) * by;
    }
  }

  /**
   * What it means.
   *
   * @param target where it goes
   * @param first number of the first cell or sensor, or the lowest bit in a mask
   * @param conversion number to value inside
   * @param missing raw values that mean "no reading"
   * @param limits valid range of the value inside
   * @param truth raw values that mean true; empty for every value but 0
   * @param direction field with the current's direction
   * @param constant what an encoder writes where the reading has nothing
   * @param labels words for people
   */
  public record Meaning(
      Target target,
      int first,
      Conversion conversion,
      List<Long> missing,
      Limits limits,
      List<Long> truth,
      Optional<Direction> direction,
      Constant constant,
      Labels labels) {

    Meaning withLimits(Limits other) {
      return new Meaning(
          target, first, conversion, missing, other, truth, direction, constant, labels);
    }
  }

  /**
   * Valid range.
   *
   * @param least smallest value inside
   * @param most largest value inside
   * @param outside what becomes of a value beyond them
   */
  public record Limits(double least, double most, Outside outside) {
    public static final Limits NONE =
        new Limits(Double.NEGATIVE_INFINITY, Double.POSITIVE_INFINITY, Outside.DOUBT);
  }

  /** What becomes of a value that is not valid. */
  public enum Outside {
    /** The frame is refused: what is measured cannot be trusted. */
    REFUSE,
    /** There is no reading, as the description says. */
    MISSING,
    /** There is no reading, and that is said. */
    DOUBT
  }

  /**
   * What a board always sends in a field.
   *
   * @param value raw value
   * @param text text of a text field
   * @param required true when a frame with another value is refused
   */
  public record Constant(long value, String text, boolean required) {}

  /**
   * Words for people.
   *
   * @param unit unit of a shown value
   * @param values words for values
   * @param bits words for set bits
   * @param shown true when it is listed beside a reading
   */
  public record Labels(
      String unit, Map<Long, String> values, Map<Integer, String> bits, boolean shown) {}

  /** The same field, without which the rest of the message cannot be understood. */
  public Field asSteering() {
    Limits limits = meaning.limits;
    if (limits.outside != Outside.DOUBT) {
      return this;
    }
    Limits strict = new Limits(limits.least, limits.most, Outside.REFUSE);
    return new Field(name, place, coding, repetition, meaning.withLimits(strict), when);
  }

  /** True for what is measured, and for what a frame is known by: without it there is nothing. */
  public boolean isNeeded() {
    return meaning.target.isMeasured() || meaning.constant.required;
  }

  /** The fields that tell where this one stands, and how often, where it is needed. */
  public Set<String> placedBy() {
    Set<String> names = steeredBy();
    meaning.direction.ifPresent(d -> names.remove(d.field()));
    return isNeeded() ? names : Set.of();
  }

  /** The fields that this one cannot be read without. */
  public Set<String> steeredBy() {
    Set<String> names = new HashSet<>();
    names.add(repetition.countField);
    names.add(repetition.upTo);
    repetition.pages.ifPresent(p -> names.add(p.field));
    when.ifPresent(w -> names.add(w.field()));
    meaning.direction.ifPresent(d -> names.add(d.field()));
    return names;
  }

  /** True when another field tells how often it comes. */
  public boolean isCounted() {
    return !repetition.countField.isEmpty();
  }

  /** True when this is a slice of another field's bytes or shares its place. */
  public boolean isOver() {
    return !place.over.isEmpty();
  }

  public long slice(long raw) {
    return place.bit < 0 ? raw : (raw >>> place.bit) & sliceMask();
  }

  /** Largest value of the slice. */
  public long sliceMask() {
    return place.bits >= 64 ? -1L : (1L << place.bits) - 1;
  }
}
