package org.cellherd.protocol.spec;

import java.util.List;
import java.util.Objects;
import java.util.stream.LongStream;

/**
 * How a message that comes page by page tells its pages.
 *
 * @param field name of the field that tells which page it is
 * @param first its value on the first page
 * @param count how many there are, or the most there may be
 * @param countField name of the field that tells how many, of this or ({@code message.field}) of
 *     another message; "" where the number is fixed
 */
record Pages(String field, long first, int count, String countField) {

  /** True for the number of a page that there may be. */
  boolean mayHave(long page) {
    return page >= first && page < first + count;
  }

  /** How many there are as a draft tells, 0 while it does not. */
  public int count(Draft draft) {
    if (countField.isEmpty()) {
      return count;
    }
    Long told = draft.raw(countField);
    return told == null ? 0 : (int) Math.max(0, Math.min(told, count));
  }

  /** Name under which a draft notes that a page came. */
  static String part(long page) {
    return "page " + page;
  }

  /**
   * True when a page goes with those that came before. One that comes again begins a new round, and
   * so does the first one, unless pages come from the last to the first.
   */
  boolean goOn(Draft before, Draft part) {
    long page = Objects.requireNonNull(part.raw(field));
    long latest = Objects.requireNonNull(before.raw(field));
    return !before.saw(part(page)) && (page != first || latest == first + 1);
  }

  /** True when a draft has all pages. */
  boolean areIn(Draft draft) {
    return count(draft) > 0 && missingIn(draft).isEmpty();
  }

  /** The pages that a draft lacks. */
  public List<Long> missingIn(Draft draft) {
    return LongStream.range(first, first + count(draft))
        .filter(page -> !draft.saw(part(page)))
        .boxed()
        .toList();
  }
}
