package org.cellherd.analysis.moment;

import java.util.Arrays;
import java.util.OptionalDouble;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Ring;
import org.jspecify.annotations.Nullable;

/**
 * How fast each cell moves, and when it will be at a limit. Voltages are averaged over slots of 3 s
 * (or one reading, when readings are further apart); the slope is the median of all slopes between
 * the latest slots (Theil and Sen), so that one wrong reading does not sway it.
 *
 * <p>A voltage moves by the charge that flows: where the current has sunk since, as under a charger
 * that holds its voltage, the rise that the larger one made sinks with it. A board may print what
 * flows as nothing up to its dead zone.
 *
 * <p>The time to a limit is that of a {@link KneeRise} whose growth comes from an earlier stretch
 * of the same rise and is never below 0.
 */
public final class KneeRate {
  private static final int SLOTS = 40;
  private static final long SLOT_MS = 3_000;
  private static final int WINDOW = 10;

  /** Of five slots, one wrong one spoils four of ten slopes, which leaves the median right. */
  private static final int LEAST_SLOTS = 5;

  /** A cell that stood as high within this time before has only come back there, ms. */
  private static final long BEFORE_MS = 200_000;

  /** Slopes below this are noise, mV a minute. */
  private static final double LEAST_SLOPE = 0.2;

  /** A growth below this is as good as a straight line, a minute. */
  private static final double LEAST_GROWTH = 1e-3;

  private final int cells;
  private final int[] volts;
  private final long[] times = new long[SLOTS];
  private final long[] sums;
  private final int[] counts;

  /** Current of each slot in mA; {@link Moment#MISSING} where none was told. */
  private final int[] currents = new int[SLOTS];

  private int currentMa = Moment.MISSING;
  private int deadZoneMa;
  private final double[] slopes = new double[WINDOW * (WINDOW - 1) / 2];

  /** Worked out since the latest slot was closed: several rules ask at each reading. */
  private final @Nullable OptionalDouble[] known;

  private final Ring ring = new Ring(SLOTS);
  private long slotFromMs;
  private boolean isOpen;
  private long lastUpMs;

  /** For a pack of so many cells. */
  public KneeRate(int cells) {
    this.cells = cells;
    this.volts = new int[cells * SLOTS];
    this.sums = new long[cells];
    this.counts = new int[cells];
    this.known = new @Nullable OptionalDouble[cells];
  }

  /** Takes the latest reading; a gap forgets what was before. */
  public void accept(Moment moment) {
    if (!moment.isFresh()) {
      return;
    }
    long now = moment.upMs();
    lastUpMs = now;
    if (!moment.isJoined()) {
      forget();
    } else if (isOpen && now - slotFromMs >= SLOT_MS) {
      close(now);
    }
    if (!isOpen) {
      open(now);
    }
    currentMa = moment.currentMa();
    deadZoneMa = moment.deadZoneMa();
    for (int i = 0; i < cells; i++) {
      int v = moment.cell(i + 1);
      if (v != Moment.MISSING) {
        sums[i] += v;
        counts[i]++;
      }
    }
  }

  private void forget() {
    Arrays.fill(known, null);
    ring.clear();
    isOpen = false;
  }

  private void open(long now) {
    isOpen = true;
    slotFromMs = now;
    Arrays.fill(sums, 0);
    Arrays.fill(counts, 0);
  }

  private void close(long now) {
    Arrays.fill(known, null);
    int newest = ring.next();
    times[newest] = slotFromMs;
    currents[newest] = currentMa;
    for (int i = 0; i < cells; i++) {
      volts[newest * cells + i] =
          counts[i] == 0 ? Moment.MISSING : (int) (sums[i] * 10 / counts[i]);
    }
    isOpen = false;
    slotFromMs = now;
  }

  /** Slope of a cell over the last half minute, mV a minute; empty while too little is known. */
  public OptionalDouble slopeMvPerMin(int cell) {
    OptionalDouble slope = known[cell - 1];
    if (slope == null) {
      slope = slope(cell, 0);
      slope = slope.isPresent() ? OptionalDouble.of(slope.getAsDouble() * sunk()) : slope;
      known[cell - 1] = slope;
    }
    return slope;
  }

  /**
   * True where a cell is higher than it was before the last half minute, by half of what its slope
   * makes of that: noise, and a cell that the board lets go after it bled it, have slopes, too, but
   * lead nowhere new. True also where nothing earlier is known.
   */
  public boolean isNewHigh(int cell) {
    OptionalDouble slope = slopeMvPerMin(cell);
    if (slope.isEmpty() || isMissing(cell, 0)) {
      return true;
    }
    double highest = Double.NEGATIVE_INFINITY;
    for (int back = WINDOW; back < ring.size() && time(0) - time(back) <= BEFORE_MS; back++) {
      highest = isMissing(cell, back) ? highest : Math.max(highest, mv(cell, back));
    }
    double minutes = (time(0) - time(Math.min(WINDOW, ring.size()) - 1)) / 60_000.0;
    return now(cell, 0) - highest >= slope.getAsDouble() * minutes / 2;
  }

  /** What is left of the current that made the slope; 1 where it did not sink. */
  private double sunk() {
    double sum = 0;
    int now = currents[ring.newest(0)];
    int n = Math.min(WINDOW, ring.size());
    for (int i = 0; i < n; i++) {
      int then = currents[ring.newest(i)];
      if (then == Moment.MISSING || (long) then * now < 0) {
        return 1;
      }
      sum += Math.max(deadZoneMa, Math.abs(then));
    }
    return sum == 0 ? 1 : Math.min(1, n * (double) Math.max(deadZoneMa, Math.abs(now)) / sum);
  }

  /**
   * Minutes until a cell rises to an upper limit, or falls to a lower one. Empty when it does not
   * move there; 0 when it is there already.
   */
  public OptionalDouble minutesTo(int cell, double limitMv) {
    if (ring.size() < LEAST_SLOTS || isMissing(cell, 0)) {
      return OptionalDouble.empty();
    }
    OptionalDouble slope = slopeMvPerMin(cell);
    double now = now(cell, slope.orElse(0));
    double way = limitMv - now;
    if (way == 0) {
      return OptionalDouble.of(0);
    }
    if (slope.isEmpty() || slope.getAsDouble() * Math.signum(way) < LEAST_SLOPE) {
      return OptionalDouble.empty();
    }
    double speed = Math.abs(slope.getAsDouble());
    double growth = growth(cell, speed);
    speed += growth * Math.abs(now - mv(cell, Math.min(ring.size(), WINDOW) / 2));
    double minutes = new KneeRise(speed, growth).minutesFor(Math.abs(way));
    double passed = (lastUpMs - time(0) - SLOT_MS / 2.0) / 60_000;
    return OptionalDouble.of(Math.max(0, minutes - Math.max(0, passed)));
  }

  /** How much the speed grows with the way, a minute; 0 when an earlier stretch does not tell. */
  private double growth(int cell, double speed) {
    int back = Math.min(ring.size() - WINDOW, 3 * WINDOW);
    if (back < WINDOW || isMissing(cell, back)) {
      return 0;
    }
    OptionalDouble earlier = slope(cell, back);
    double way =
        Math.abs(mv(cell, WINDOW / 2) - mv(cell, back + Math.min(WINDOW, ring.size() - back) / 2));
    if (earlier.isEmpty() || way < 2) {
      return 0;
    }
    double growth = (speed - Math.abs(earlier.getAsDouble())) / way;
    return growth < LEAST_GROWTH ? 0 : growth;
  }

  /** Where a cell is at the newest slot: the middle one of what its latest three slots lead to. */
  private double now(int cell, double slope) {
    double[] led = new double[3];
    for (int back = 0; back < led.length; back++) {
      boolean isKnown = !isMissing(cell, back);
      double minutes = (time(0) - time(back)) / 60_000.0;
      led[back] = isKnown ? mv(cell, back) + slope * minutes : mv(cell, 0);
    }
    Arrays.sort(led);
    return led[1];
  }

  private OptionalDouble slope(int cell, int back) {
    int n = Math.min(WINDOW, ring.size() - back);
    int found = 0;
    for (int i = 0; i < n; i++) {
      for (int j = i + 1; j < n; j++) {
        if (!isMissing(cell, back + i) && !isMissing(cell, back + j)) {
          double minutes = (time(back + i) - time(back + j)) / 60_000.0;
          slopes[found++] = (mv(cell, back + i) - mv(cell, back + j)) / minutes;
        }
      }
    }
    if (n < LEAST_SLOTS || found < LEAST_SLOTS) {
      return OptionalDouble.empty();
    }
    Arrays.sort(slopes, 0, found);
    return OptionalDouble.of(slopes[found / 2]);
  }

  private boolean isMissing(int cell, int back) {
    return volts[ring.newest(back) * cells + cell - 1] == Moment.MISSING;
  }

  private double mv(int cell, int back) {
    return volts[ring.newest(back) * cells + cell - 1] / 100.0;
  }

  private long time(int back) {
    return times[ring.newest(back)];
  }

  /** Its state. */
  public void state(State io) {
    Arrays.fill(known, null);
    ring.state(io);
    slotFromMs = io.number(slotFromMs);
    isOpen = io.flag(isOpen);
    lastUpMs = io.number(lastUpMs);
    io.each(times);
    io.each(volts);
    io.each(sums);
    io.each(counts);
    io.each(currents);
    currentMa = io.number(currentMa);
    deadZoneMa = io.number(deadZoneMa);
  }
}
