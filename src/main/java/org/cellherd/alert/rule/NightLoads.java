package org.cellherd.alert.rule;

import java.util.stream.DoubleStream;
import org.cellherd.analysis.state.State;

/**
 * What a pack gave in each hour of the nights before, and in this one. A household's load is much
 * the same from night to night and very unlike from hour to hour. Hours that were not heard nearly
 * whole, or in which the pack came to its end, say nothing of what would have been drawn. Belongs
 * to one thread.
 */
final class NightLoads {
  /** As many as a week has. */
  private static final int NIGHTS = 7;

  /** Fewer do not tell how unlike each other they are. */
  private static final int LEAST_NIGHTS = 3;

  private static final int HOURS = 24;

  private static final double LEAST_HEARD = 0.9;

  /** A reading stands for no longer, h. */
  private static final double LONGEST_HEARD_H = 0.1;

  /** A load that stood through so many hours is more than an evening's. */
  private static final int STEADY_HOURS = 3;

  /** Of twenty nights like those before one lies farther off, where hours vary by chance. */
  private static final double ODD_DEVIATIONS = 2;

  /** Nights that differ by no more than this share are alike, however even those before were. */
  private static final double ALIKE = 0.1;

  private static final NightLoad UNKNOWN = new NightLoad(Double.NaN, Double.NaN);

  /** The latest loads of each hour of the night, A. */
  private final double[] past = new double[HOURS * NIGHTS];

  private final long[] known = new long[HOURS];

  private final double[] latest = new double[STEADY_HOURS];
  private long wholeHours;
  private double hourAh;
  private double hourHeardH;
  private long hourNow = -1;
  private double ah;
  private double heardH;
  private boolean hasEnded;

  /** It is day: a night that went before is over. */
  void day() {
    begin(-1);
    wholeHours = 0;
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
    int hour = (int) sinceH;
    if (hour < hourNow) {
      // Another night, and nothing was heard of the day between.
      day();
    }
    begin(hour);
    hasEnded |= isAtEnd;
    double heard = Math.min(hours, LONGEST_HEARD_H);
    hourAh += amperes * heard;
    hourHeardH += heard;
    ah += amperes * heard;
    heardH += heard;
  }

  private void begin(long next) {
    if (next == hourNow) {
      return;
    }
    if (hourNow >= 0 && hourHeardH >= LEAST_HEARD && !hasEnded) {
      double load = hourAh / hourHeardH;
      latest[(int) (wholeHours++ % STEADY_HOURS)] = load;
      int hour = (int) hourNow;
      past[hour * NIGHTS + (int) (known[hour]++ % NIGHTS)] = load;
    }
    hourNow = next;
    hourAh = 0;
    hourHeardH = 0;
  }

  /** The least mean of tonight's three latest whole hours, A; NaN before there are three. */
  double steadyA() {
    return wholeHours < STEADY_HOURS
        ? Double.NaN
        : DoubleStream.of(latest).min().orElse(Double.NaN);
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
   * What a night like those before draws between two hours of it; unknown where too few are known,
   * or tonight drew so far what none of them would have and is of another kind.
   */
  NightLoad usual(double fromH, double toH) {
    NightLoad before = between(Math.max(0, fromH - heardH), fromH);
    double odd = Math.abs(ah - before.ah());
    boolean isUsual = odd <= ODD_DEVIATIONS * before.deviationAh() + ALIKE * before.ah();
    return isUsual ? between(fromH, toH) : UNKNOWN;
  }

  private NightLoad between(double fromH, double toH) {
    double mean = 0;
    double variance = 0;
    for (int hour = (int) fromH; hour < toH && hour < HOURS; hour++) {
      double share = Math.min(toH, hour + 1) - Math.max(fromH, hour);
      NightLoad load = of(hour);
      mean += share * load.ah();
      variance += share * share * load.deviationAh() * load.deviationAh();
    }
    return new NightLoad(mean, Math.sqrt(variance));
  }

  private NightLoad of(int hour) {
    int count = (int) Math.min(known[hour], NIGHTS);
    if (count < LEAST_NIGHTS) {
      return UNKNOWN;
    }
    double mean = 0;
    for (int night = 0; night < count; night++) {
      mean += past[hour * NIGHTS + night] / count;
    }
    double squares = 0;
    for (int night = 0; night < count; night++) {
      double off = past[hour * NIGHTS + night] - mean;
      squares += off * off;
    }
    return new NightLoad(mean, Math.sqrt(squares / (count - 1)));
  }

  void state(State io) {
    io.each(past);
    io.each(known);
    io.each(latest);
    wholeHours = io.number(wholeHours);
    hourAh = io.number(hourAh);
    hourHeardH = io.number(hourHeardH);
    hourNow = io.number(hourNow);
    ah = io.number(ah);
    heardH = io.number(heardH);
    hasEnded = io.flag(hasEnded);
  }
}
