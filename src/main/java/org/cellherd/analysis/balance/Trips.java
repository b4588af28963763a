package org.cellherd.analysis.balance;

import java.util.Arrays;
import java.util.Optional;
import org.cellherd.analysis.Bounce;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Ring;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.jspecify.annotations.Nullable;

/**
 * Stops of the charge by the board at the top: the charge switch opens, or, where the board does
 * not tell, a current well above the dead zone ends at once with a cell near its limit.
 *
 * <p>From one trip to the next the leader comes back to the same voltage, so that the charge
 * counted between them is what was bled from it: bleed current and duty seen without any flag.
 */
final class Trips {
  private static final int KEPT = 32;
  private static final long HOUR_MS = 3_600_000;

  private final int nearTenthMv;
  private final int kneeTenthMv;
  private final long[] times = new long[KEPT];
  private final int[] votes;
  private final Ring ring = new Ring(KEPT);
  private long firstUpMs;
  private final double[] counts = new double[KEPT];
  private int switchBefore = -1;

  Trips(PackPlan plan, int kneeMv) {
    votes = new int[plan.series()];
    nearTenthMv = (plan.limits().warnHighMv() - 50) * 10;
    kneeTenthMv = kneeMv * 10;
  }

  void clear() {
    ring.clear();
    Arrays.fill(votes, 0);
  }

  /** Takes the latest reading; true when it shows a trip. */
  boolean accept(Moment m, Reading reading, double countAh) {
    int closed = reading.chargeSwitch().orElse(-1);
    boolean told = closed >= 0 && switchBefore >= 0;
    boolean opened = told && closed == 0 && switchBefore == 1;
    boolean isTrip =
        m.present() > 0 && (told ? opened && highBefore(m) >= kneeTenthMv : stopped(m));
    switchBefore = closed;
    if (isTrip && m.isJoined()) {
      note(m, countAh);
    }
    return isTrip && m.isJoined();
  }

  private boolean stopped(Moment m) {
    int before = m.currentBeforeMa();
    return before != Moment.MISSING
        && before > 3 * m.deadZoneMa()
        && m.flowingMa() == 0
        && highBefore(m) >= nearTenthMv;
  }

  private int highBefore(Moment m) {
    int high = m.highest();
    for (int cell = 1; cell <= votes.length; cell++) {
      high = Math.max(high, m.cellBefore(cell));
    }
    return high;
  }

  private void note(Moment m, double countAh) {
    if (all() == 0) {
      firstUpMs = m.upMs();
    }
    int place = ring.next();
    times[place] = m.upMs();
    counts[place] = countAh;
    votes[m.highestCell() - 1]++;
  }

  int all() {
    return (int) ring.count();
  }

  /** Time of the latest trip of this charge, fold time; -1 without. */
  long lastUpMs() {
    return all() == 0 ? -1 : times[ring.newest(0)];
  }

  int withinHour(long nowUpMs) {
    int n = 0;
    for (int i = 0; i < ring.size(); i++) {
      n += nowUpMs - times[i] <= HOUR_MS ? 1 : 0;
    }
    return n;
  }

  /**
   * A that is bled from the leader on average; null before trips have gone on for an hour. The
   * first half is left out: a cell that has just come to its limit takes charge by relaxing, too.
   */
  @Nullable Estimate bledAmperes() {
    int kept = ring.size();
    if (kept < 4 || lastUpMs() - firstUpMs < HOUR_MS) {
      return null;
    }
    int from = ring.oldest((kept + 1) / 2);
    int to = ring.newest(0);
    double hours = (times[to] - times[from]) / (double) HOUR_MS;
    double ah = counts[to] - counts[from];
    double perTrip = ah / Math.max(1, kept / 2 - 1);
    double relaxing = 0.5 * HOUR_MS / (times[from] - firstUpMs + 1.0);
    double amperes = ah / hours;
    double half = perTrip / hours + (0.15 + Math.min(1, relaxing)) * amperes;
    return amperes > 0 && hours >= 0.3 ? new Estimate(amperes, half) : null;
  }

  Optional<Bounce> bounce(Moment m) {
    if (all() < 2) {
      return Optional.empty();
    }
    int most = 0;
    for (int i = 1; i < votes.length; i++) {
      most = votes[i] > votes[most] ? i : most;
    }
    double period = (lastUpMs() - firstUpMs) / 60_000.0 / (all() - 1);
    return Optional.of(
        new Bounce(withinHour(m.upMs()), all(), period, most + 1, m.wallMs(firstUpMs)));
  }

  void state(State io) {
    io.each(times);
    ring.state(io);
    firstUpMs = io.number(firstUpMs);
    switchBefore = io.number(switchBefore);
    io.each(counts);
    io.each(votes);
  }
}
