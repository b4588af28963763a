package org.cellherd.alert.state;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.alert.Alert;
import org.cellherd.pack.SpokenTime;

/** Puts the sentences of an alert together: the same in log, messages, page and report. */
public final class AlertText {
  private static final DateTimeFormatter SECONDS =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);

  /** As {@link SpokenTime#near} writes it. */
  static final String TIME = "(?:\\d+ \\p{L}+ \\d+ )?\\d\\d:\\d\\d";

  private static final String DOUBT = "(?: Not confirmed since " + TIME + "\\.)*";

  /** What follows was true while it lasted. */
  private static final String THEN = "; reported then";

  /** A condition, and what the functions below say in front of it and behind it. */
  private static final Pattern SAID =
      Pattern.compile(
          "(?s)(?:As of "
              + TIME
              + ": )*(?:"
              + Alert.GONE
              + TIME
              + "(?:, now .*?)?\\. (?:Before that|It began at "
              + TIME
              + " and lasted .*? in all(?:"
              + THEN
              + "|; at its worst at "
              + TIME
              + ")?): )?(.*?)"
              + DOUBT
              + "(?: Again, \\d+(?:nd|rd|th) time since "
              + TIME
              + "\\.)?(?: It stays listed until it has been gone for 2 h\\.)?"
              + DOUBT);

  /** How a look ahead begins: while a charge goes on, and while a load does. */
  public static final String CHARGE_AHEAD = "If nothing changes";

  public static final String LOAD_AHEAD = "If this load goes on";

  private static final Pattern AHEAD =
      Pattern.compile("(?s) (?:" + CHARGE_AHEAD + "|" + LOAD_AHEAD + ") .*?\\.(?= |$)");

  private AlertText() {}

  /** A time of day to the second, with its date and without seconds unless it is today. */
  public static String timeOfDay(long timeMs, long nowMs, ZoneId zone) {
    ZonedDateTime time = Instant.ofEpochMilli(timeMs).atZone(zone);
    ZonedDateTime now = Instant.ofEpochMilli(nowMs).atZone(zone);
    return time.toLocalDate().equals(now.toLocalDate())
        ? SECONDS.format(time)
        : SpokenTime.minute(timeMs, zone);
  }

  /** A time of day, with its date unless it is today. */
  public static String time(long timeMs, long nowMs, ZoneId zone) {
    return SpokenTime.near(timeMs, nowMs, zone);
  }

  /**
   * By whose clock the sentences of some alerts are: the supposed zone, unless they say when the
   * alerts began by another one; then an offset that all of them fit.
   */
  public static ZoneId zone(List<Alert> alerts, ZoneId supposed) {
    return SaidZone.of(alerts, supposed);
  }

  /** The condition holds, as the latest reading shows. */
  static String holds(Words words, long sinceMs, Pulse now) {
    return what(words, sinceMs, now) + more(words.ahead()) + more(words.more());
  }

  /** The condition held when it was last looked at; nothing is said of what would come. */
  static String held(Words words, long sinceMs, Pulse now) {
    return what(words, sinceMs, now) + more(words.more());
  }

  private static String what(Words words, long sinceMs, Pulse now) {
    return words.what() + ", since " + time(sinceMs, now.timeMs(), now.zone()) + ".";
  }

  /** What was said at a time when it was last confirmed. */
  static String asOf(String judged, String said) {
    return "As of " + judged + ": " + said;
  }

  /** Nothing has confirmed it since. */
  static String unconfirmed(String judged) {
    return " Not confirmed since " + judged + ".";
  }

  /**
   * What an alert says to somebody who reads it out of a log that nobody writes any more: nothing
   * of what was ahead then.
   *
   * @param judgedMs when it was last confirmed, ms UTC
   * @param readMs when it is read, ms UTC
   */
  public static String read(String said, long judgedMs, long readMs, ZoneId zone) {
    boolean isSaid = said.matches("(?s).* Not confirmed since [^.]+\\..*");
    return isSaid
        ? said
        : AHEAD.matcher(said).replaceAll("") + unconfirmed(time(judgedMs, readMs, zone));
  }

  /**
   * What an active alert says in an account of the past: when its figures were taken, and nothing
   * of what was ahead then.
   *
   * @param saidMs when it was said, ms UTC
   * @param nearMs a time on whose day no date is needed, ms UTC
   */
  public static String past(String said, long saidMs, long nearMs, ZoneId zone) {
    return asOf(time(saidMs, nearMs, zone), AHEAD.matcher(said).replaceAll(""));
  }

  /**
   * A text of an earlier run without what that run said around the condition; by which clock its
   * times are goes with it.
   */
  static String bare(String said) {
    Matcher clock = Alert.ClockError.SENTENCE.matcher(said);
    String itsClock = clock.find() ? clock.group() : "";
    String text = withoutUnits(clock.replaceAll(""));
    Matcher m = SAID.matcher(text);
    return (m.matches() ? m.group(1) : text) + itsClock;
  }

  /** True when a bare text of an earlier run was made of these words. */
  static boolean isOf(String bare, String what) {
    String said = lowerFirst(bare);
    String own = lowerFirst(what);
    return said.equals(own + ".") || said.startsWith(own + ", since ");
  }

  /** The same, with what is written on the units of its cell; those of an earlier time go. */
  public static String withUnits(String said, int cell, String units) {
    return withoutUnits(said) + " Cell " + cell + " is made of " + units + ".";
  }

  private static String withoutUnits(String said) {
    return said.replaceAll("(?s)( Cell \\d+ is made of .*)$", "");
  }

  /** The condition holds no more, but the alert is not over yet. */
  static String eased(long easedMs, String valueNow, Pulse now) {
    String since = time(easedMs, now.timeMs(), now.zone());
    return Alert.GONE + since + (valueNow.isEmpty() ? "." : ", now " + valueNow + ".");
  }

  /** The condition still holds, but has been worse; 0 where it is not known until when. */
  static String worst(Words worst, long easedMs, Pulse now) {
    return (easedMs > 0 ? " It has eased since " + time(easedMs, now.timeMs(), now.zone()) : "")
        + (easedMs > 0 ? "; at its worst: " : " At its worst: ")
        + lowerFirst(worst.what())
        + ".";
  }

  /** It came more than once. */
  static String again(long times, long firstMs, Pulse now) {
    String first = time(firstMs, now.timeMs(), now.zone());
    return " Again, " + ordinal(times) + " time since " + first + ".";
  }

  /** "2nd", "11th", "21st". */
  static String ordinal(long n) {
    boolean isTeen = n % 100 / 10 == 1;
    return n
        + (isTeen ? "th" : n % 10 == 1 ? "st" : n % 10 == 2 ? "nd" : n % 10 == 3 ? "rd" : "th");
  }

  /** The condition is gone, and how things are now, where that is known. */
  static String over(long untilMs, String valueNow, Pulse now) {
    String until = time(untilMs, now.timeMs(), now.zone());
    return "Over since " + until + (valueNow.isEmpty() ? "." : ", now " + valueNow + ".");
  }

  /** What it was at its worst. */
  static String was(Alert.Peak peak, long sinceMs, Pulse now) {
    String worst = time(peak.atMs(), now.timeMs(), now.zone());
    return "%s; at its worst at %s: %s."
        .formatted(lasted(sinceMs, peak.lastedMs(), now), worst, lowerFirst(peak.what()));
  }

  /** What it was where no time was worse than another. */
  static String was(Words words, long lastedMs, long sinceMs, Pulse now) {
    return lasted(sinceMs, lastedMs, now) + THEN + ": " + lowerFirst(words.what()) + ".";
  }

  /** What an earlier run said of it. */
  static String was(String oldText) {
    return " Before that: " + oldText;
  }

  private static String lasted(long sinceMs, long lastedMs, Pulse now) {
    String since = time(sinceMs, now.timeMs(), now.zone());
    return " It began at " + since + " and lasted " + SpokenTime.length(lastedMs) + " in all";
  }

  private static String more(String sentences) {
    return sentences.isEmpty() ? "" : " " + sentences;
  }

  private static String lowerFirst(String text) {
    return text.isEmpty()
        ? text
        : text.substring(0, 1).toLowerCase(Locale.ROOT) + text.substring(1);
  }
}
