package org.cellherd.alert.rule;

import java.util.stream.DoubleStream;
import org.cellherd.analysis.state.State;

/**
 * What a pack gave in the nights before, hour by hour, and in this one. A household's load is much
 * the same from night to night and very unlike from hour to hour. Nights that were not heard nearly
 * whole, or in which the pack came to its end, say nothing of what would have been drawn. Belongs
 * to one thread.
 */
final class NightLoads {
  /** As many as a week has: of all of them the least counts. */
  private static final int NIGHTS = 7;

  /** Fewer do not tell how unlike each other they are. */
  private static final int LEAST_NIGHTS = 3;

  /** A charge at the end of each hour of the longest night, and at its begin. */
  private static final int MARKS = 25;

  private static final double LEAST_HEARD = 0.9;

  /** A reading stands for no longer, h. */
  private static final double LONGEST_HEARD_H = 0.1;

  /** A load that stood through so many hours is more than an evening's. */
  private static final int STEADY_HOURS = 3;

  private final double[] hourly = new double[STEADY_HOURS];
  private long wholeHours;
  private double hourAh;
  private double hourHeardH;
  private long hourNow = -1;

  private final double[] past = new double[NIGHTS * MARKS];
  private final double[] tonight = new double[MARKS];
  private long nights;
  private long marks;
  private double ah;
  private double heardH;
  private boolean hasEnded;

  /** It is day: a night that went before is over. */
  void day(double lengthH) {
    if (marks > 0 && heardH >= LEAST_HEARD * lengthH && !hasEnded) {
      markUpTo(MARKS - 1);
      System.arraycopy(tonight, 0, past, (int) (nights % NIGHTS) * MARKS, MARKS);
      nights++;
    }
    wholeHours = 0;
    hourNow = -1;
    marks = 0;
    ah = 0;
    heardH = 0;
    hasEnded = false;
  }

  /**
   * Takes a current in the night.
   *
   * @param sinceH hours since the night began
   * @param amperes drawn, A
   * @param hours since the current before it
   * @param isAtEnd the pack is nearly empty or cut off: what would be drawn is not seen any more
   */
  void night(double sinceH, double amperes, double hours, boolean isAtEnd) {
    if (sinceH < marks - 2) {
      // Another night, and nothing was heard of the day between.
      day(Double.POSITIVE_INFINITY);
    }
    markUpTo((int) sinceH);
    double heard = Math.min(hours, LONGEST_HEARD_H);
    beginHour((long) sinceH);
    hourAh += amperes * heard;
    hourHeardH += heard;
    ah += amperes * heard;
    heardH += heard;
    hasEnded |= isAtEnd;
  }

  private void beginHour(long next) {
    if (next == hourNow) {
      return;
    }
    if (hourNow >= 0 && hourHeardH >= LEAST_HEARD) {
      hourly[(int) (wholeHours % STEADY_HOURS)] = hourAh / hourHeardH;
      wholeHours++;
    }
    hourNow = next;
    hourAh = 0;
    hourHeardH = 0;
  }

  /** The least mean of tonight's three latest whole hours, A; NaN before there are three. */
  double steadyA() {
    return wholeHours < STEADY_HOURS
        ? Double.NaN
        : DoubleStream.of(hourly).min().orElse(Double.NaN);
  }

  private void markUpTo(int hour) {
    for (; marks <= hour; marks++) {
      tonight[(int) marks] = ah;
    }
  }

  /** Drawn tonight as far as it was heard, Ah. */
  double tonightAh() {
    return ah;
  }

  /** Its mean, A; NaN before anything was heard. */
  double tonightA() {
    return ah / heardH;
  }

  /**
   * The least that any of the nights before drew between two hours of the night, Ah; NaN where too
   * few are known, or tonight drew more so far than each of them and is of another kind.
   */
  double leastAh(double fromH, double toH) {
    int known = (int) Math.min(nights, NIGHTS);
    double least = Double.POSITIVE_INFINITY;
    boolean isUsual = false;
    for (int night = 0; night < known; night++) {
      double before = at(night, fromH);
      isUsual |= ah <= before;
      least = Math.min(least, at(night, toH) - before);
    }
    return known >= LEAST_NIGHTS && isUsual ? least : Double.NaN;
  }

  private double at(int night, double hour) {
    int mark = Math.max(0, Math.min((int) hour, MARKS - 2));
    double low = past[night * MARKS + mark];
    return low + Math.min(1, hour - mark) * (past[night * MARKS + mark + 1] - low);
  }

  /** The whole state. */
  void state(State io) {
    io.each(past);
    io.each(tonight);
    io.each(hourly);
    wholeHours = io.number(wholeHours);
    hourAh = io.number(hourAh);
    hourHeardH = io.number(hourHeardH);
    hourNow = io.number(hourNow);
    nights = io.number(nights);
    marks = io.number(marks);
    ah = io.number(ah);
    heardH = io.number(heardH);
    hasEnded = io.flag(hasEnded);
  }
}
