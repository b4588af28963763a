package org.cellherd.page.http;

import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.cellherd.pack.TimeSource;

/**
 * Slows those who guess: after each failure an address waits twice as long, up to a quarter of an
 * hour; and all strangers together have a bound, so that many addresses do not help. Any thread.
 */
final class Attempts {

  private static final int FREE = 3;
  private static final long FIRST_NANOS = TimeUnit.SECONDS.toNanos(2);
  private static final long LONGEST_NANOS = TimeUnit.MINUTES.toNanos(15);
  private static final int MOST_ADDRESSES = 256;

  /** Failures of all addresses together that are borne in a minute. */
  private static final int MOST_A_MINUTE = 30;

  private static final long MINUTE_NANOS = TimeUnit.MINUTES.toNanos(1);

  private final TimeSource time;
  private final Map<String, Past> records = new LinkedHashMap<>();
  private int failuresThisMinute;
  private long minuteStart;

  Attempts(TimeSource time) {
    this.time = time;
    this.minuteStart = time.monotonicNanos();
  }

  private static final class Past {
    private int failures;
    private long untilNanos;
  }

  /** Seconds that an address has to wait; 0 when it may try. */
  synchronized long waitS(String address) {
    long now = time.monotonicNanos();
    newMinute(now);
    long wait = 0;
    Past record = records.get(address);
    if (record != null && record.failures >= FREE) {
      wait = record.untilNanos - now;
    }
    if (failuresThisMinute >= MOST_A_MINUTE) {
      wait = Math.max(wait, minuteStart + MINUTE_NANOS - now);
    }
    return wait <= 0 ? 0 : TimeUnit.NANOSECONDS.toSeconds(wait) + 1;
  }

  /** An address gave something wrong. */
  synchronized void failed(String address) {
    long now = time.monotonicNanos();
    newMinute(now);
    failuresThisMinute++;
    Past record = records.remove(address);
    record = record == null ? new Past() : record;
    record.failures++;
    int doublings = Math.min(20, Math.max(0, record.failures - FREE));
    record.untilNanos = now + Math.min(LONGEST_NANOS, FIRST_NANOS << doublings);
    records.put(address, record);
    if (records.size() > MOST_ADDRESSES) {
      Iterator<String> oldest = records.keySet().iterator();
      oldest.next();
      oldest.remove();
    }
  }

  /** An address gave what is right. */
  synchronized void succeeded(String address) {
    records.remove(address);
  }

  private void newMinute(long now) {
    if (now - minuteStart >= MINUTE_NANOS) {
      minuteStart = now;
      failuresThisMinute = 0;
    }
  }
}
