package org.cellherd.app.campaign.books;

import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What the program said of readings that it lost, or of those that it still has.
 *
 * @param readings how many are lost; 0 where it gave no number
 * @param isKept true of a sentence that tells what the log still holds: all else is gone
 */
record ToldLoss(String pack, long fromMs, long toMs, long readings, boolean isKept) {

  private static final String TIME = "(\\d{4}-\\d\\d-\\d\\d \\d\\d:\\d\\d:\\d\\d) UTC";
  private static final Pattern LOST =
      Pattern.compile(
          "Pack (\\S+): (?:about )?(?:(\\d+) )?readings? from " + TIME + " to " + TIME + " lost");
  private static final Pattern KEPT =
      Pattern.compile("Pack (\\S+): the log now holds readings from " + TIME + " to " + TIME);
  private static final Pattern NONE =
      Pattern.compile("Pack (\\S+): the log holds no reading any more");

  /** The log's clock tells ms, the sentences seconds. */
  private static final long SECOND_MS = 1_000;

  /** All such sentences of a text. */
  static List<ToldLoss> in(String text) {
    List<ToldLoss> all = new ArrayList<>();
    for (Matcher m = LOST.matcher(text); m.find(); ) {
      long readings = m.group(2) == null ? 0 : Long.parseLong(m.group(2));
      all.add(new ToldLoss(m.group(1), ms(m.group(3)), ms(m.group(4)), readings, false));
    }
    for (Matcher m = KEPT.matcher(text); m.find(); ) {
      all.add(new ToldLoss(m.group(1), ms(m.group(2)), ms(m.group(3)), 0, true));
    }
    for (Matcher m = NONE.matcher(text); m.find(); ) {
      all.add(new ToldLoss(m.group(1), Long.MAX_VALUE, Long.MIN_VALUE, 0, true));
    }
    return all;
  }

  private static long ms(String time) {
    return LocalDateTime.parse(time.replace(' ', 'T')).toInstant(ZoneOffset.UTC).toEpochMilli();
  }

  boolean isInside(long from, long to) {
    return !isKept && fromMs >= before(from) && toMs <= behind(to);
  }

  /** True when it says that readings between these are, or may be, lost. */
  boolean tells(long from, long to, long paceMs) {
    return isKept
        ? to <= behind(fromMs) || from >= before(toMs)
        : (fromMs <= behind(from) + paceMs && toMs >= before(to) - paceMs) || isInside(from, to);
  }

  private static long before(long ms) {
    return ms == Long.MIN_VALUE ? ms : ms - SECOND_MS;
  }

  private static long behind(long ms) {
    return ms == Long.MAX_VALUE ? ms : ms + SECOND_MS;
  }
}
