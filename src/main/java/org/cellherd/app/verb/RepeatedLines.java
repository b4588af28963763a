package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.logging.Level;
import java.util.logging.LogRecord;
import java.util.regex.Pattern;

/**
 * Keeps the log of a program that runs for months short: each kind of line is written at once, then
 * counted, and summed up every half hour while it goes on. Lines are of one kind when they differ
 * in numbers only, behind the name of the pack or file that they begin with. Alerts always pass:
 * their own rules bound them. Any thread.
 */
final class RepeatedLines {

  /** Name of the logger whose lines always pass. */
  public static final String ALERTS = "org.cellherd.alerts";

  /** Ten kinds of trouble that go on all day make some 70 KB of log then. */
  static final long EVERY_MS = 1_800_000;

  /** Kinds beyond this are counted together, so that no flood of kinds fills memory or disk. */
  private static final int MOST_KINDS = 200;

  private static final String FURTHER = "further kinds of lines";
  private static final Pattern NUMBERED = Pattern.compile("[^\\s,;()\"]*[0-9][^\\s,;()\"]*");

  private final Map<String, Kind> kinds = new LinkedHashMap<>();

  /** One kind: what was said of it and what came since. */
  private static final class Kind {
    private long saidMs;
    private long more;
    private Level level = Level.INFO;
    private String latest = "";
  }

  /**
   * Takes a line and gives back what is to be written now.
   *
   * @param line its text is ready to be printed
   */
  public synchronized List<LogRecord> take(LogRecord line) {
    List<LogRecord> now = new ArrayList<>();
    if (ALERTS.equals(line.getLoggerName())) {
      now.add(line);
    } else {
      take(line, now);
    }
    sumUp(line.getMillis(), now);
    return now;
  }

  private void take(LogRecord line, List<LogRecord> now) {
    String name = kind(line.getMessage());
    boolean isKnown = kinds.containsKey(name) || kinds.size() < MOST_KINDS;
    Kind kind = kinds.get(isKnown ? name : FURTHER);
    if (kind == null) {
      kind = new Kind();
      kind.saidMs = line.getMillis();
      kinds.put(isKnown ? name : FURTHER, kind);
      now.add(line);
      return;
    }
    kind.more++;
    kind.level = line.getLevel();
    kind.latest = line.getMessage();
  }

  /** What did not come again for the while is new the next time. */
  private void sumUp(long nowMs, List<LogRecord> now) {
    kinds
        .values()
        .removeIf(
            kind -> {
              boolean isDue = Math.abs(nowMs - kind.saidMs) >= EVERY_MS;
              if (!isDue || kind.more == 0) {
                return isDue;
              }
              LogRecord sum = new LogRecord(kind.level, sum(kind, nowMs));
              sum.setInstant(java.time.Instant.ofEpochMilli(nowMs));
              now.add(sum);
              kind.saidMs = nowMs;
              kind.more = 0;
              return false;
            });
  }

  private static String sum(Kind kind, long nowMs) {
    long minutes = Math.max(1, Math.abs(nowMs - kind.saidMs) / 60_000);
    String count = kind.more == 1 ? "once more" : kind.more + " times more";
    return kind.latest + " [" + count + " in " + minutes + " min]";
  }

  /** What a line is about stays, numbers in it or not; later numbers do not count. */
  private static String kind(String message) {
    int subject = message.indexOf(": ") + 1;
    return message.substring(0, subject)
        + NUMBERED.matcher(message.substring(subject)).replaceAll("#");
  }
}
