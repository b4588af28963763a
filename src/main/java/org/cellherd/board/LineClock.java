package org.cellherd.board;

import java.util.function.LongSupplier;
import org.cellherd.pack.TimeSource;

/**
 * The clocks of a line.
 *
 * @param time for durations and waits
 * @param anchoredMs ms UTC by the session's clock anchor, which readings carry; any thread may ask
 */
public record LineClock(TimeSource time, LongSupplier anchoredMs) {

  /** A clock whose readings carry the wall time of the same source. */
  public static LineClock of(TimeSource time) {
    return new LineClock(time, time::wallMs);
  }
}
