package org.cellherd.page;

import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.cellherd.pack.TimeSource;

/**
 * Knows from where tokens are guessed. What such an address gives is judged late; nobody is ever
 * refused for what others did, so no stranger can lock the owner out. Any thread.
 */
final class Attempts {

  /**
   * How late. A guess holds its connection meanwhile, and {@link Crowd#MOST} connections give 32
   * guesses a second at the most, from however many addresses: 1e9 a year, where 16 letters a to z
   * drawn at random are 4e22.
   */
  static final long WAIT_NANOS = TimeUnit.SECONDS.toNanos(4);

  /** People mistype. */
  private static final int FREE = 3;

  private static final long FORGOTTEN_NANOS = TimeUnit.MINUTES.toNanos(15);

  /** More than one network of IPv4 has; of IPv6 a network counts as one. */
  private static final int MOST_PLACES = 1_024;

  private final TimeSource time;
  private final Map<String, Past> places = new LinkedHashMap<>();

  Attempts(TimeSource time) {
    this.time = time;
  }

  private record Past(int failures, long lastNanos) {}

  /** True when what a place gives is to be judged late. */
  synchronized boolean isGuessing(String place) {
    return past(place).failures() >= FREE;
  }

  synchronized void failed(String place) {
    Past past = past(place);
    places.remove(place);
    places.put(place, new Past(past.failures() + 1, time.monotonicNanos()));
    if (places.size() > MOST_PLACES) {
      Iterator<String> oldest = places.keySet().iterator();
      oldest.next();
      oldest.remove();
    }
  }

  private Past past(String place) {
    long now = time.monotonicNanos();
    Past past = places.get(place);
    return past == null || now - past.lastNanos() > FORGOTTEN_NANOS ? new Past(0, now) : past;
  }
}
