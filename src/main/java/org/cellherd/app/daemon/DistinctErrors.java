package org.cellherd.app.daemon;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * Logs each different error once in full and then counts it: a board that fails for a week writes a
 * handful of lines. Any thread.
 */
public final class DistinctErrors {

  /** More kinds than this are counted together, so that no flood of kinds fills the memory. */
  private static final int MOST_KINDS = 200;

  private final Logger log;
  private final Map<String, Long> counts = new LinkedHashMap<>();

  /** Errors go to this logger. */
  public DistinctErrors(Logger log) {
    this.log = log;
  }

  /** Notes an error at a place; logs it when new, and again at each tenfold count. */
  public synchronized void note(String place, Throwable error) {
    String kind = place + ": " + error.getClass().getSimpleName() + " " + where(error);
    String key = counts.containsKey(kind) || counts.size() < MOST_KINDS ? kind : "further kinds";
    long count = counts.merge(key, 1L, Long::sum);
    if (count == 1) {
      log.log(Level.ERROR, "unexpected in " + place + ", going on: " + error, error);
    } else if (isPowerOfTen(count)) {
      log.log(Level.ERROR, "unexpected in " + place + ", " + count + " times now: " + error);
    }
  }

  /** How often each kind was seen. */
  public synchronized Map<String, Long> counts() {
    return Map.copyOf(counts);
  }

  private static String where(Throwable error) {
    StackTraceElement[] trace = error.getStackTrace();
    return trace.length == 0 ? "" : trace[0].toString();
  }

  private static boolean isPowerOfTen(long count) {
    long power = 10;
    while (power < count) {
      power *= 10;
    }
    return power == count;
  }
}
