package org.cellherd.analysis.balance;

import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Bounce;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Ring;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.Reading;
import org.jspecify.annotations.Nullable;

/**
 * Stops of the charge by the board at the top: the charge switch opens, or, where the board does
 * not tell, a current well above the dead zone ends at once with a cell near its limit.
 *
 * <p>A cloud over a load that takes just as much ends a current, too. A board that does not tell
 * stops at one voltage and never lets charge flow beyond it. So a stop is none of the board's where
 * charge has flowed on with a cell higher than there by more than that cell can have risen unseen
 * until the stop (it rose as much in the step before) and by more than the board's error; be that
 * earlier, in this charge or the one before, or later, which takes back what was counted. Nor is
 * one after which charge flows again before that cell has fallen by more than the board's error: a
 * board closes its switch lower than it opens it. Nor one where all cells together stand at the
 * charger's voltage: there the charger holds them. Nor one with all cells below the charge voltage
 * of the plan and below the limit of sheet and board: one that stopped there would let no pack be
 * full.
 *
 * <p>From one trip to the next the leader comes back to the same voltage, so that the charge
 * counted between them is what was bled from it: bleed current and duty seen without any flag.
 */
final class Trips {
  private static final int KEPT = 32;
  private static final long HOUR_MS = 3_600_000;
  private static final int ERROR_TENTH_MV = AnalysisSettings.BOARD_FLOOR_MV * 10;

  /** A charger holds its voltage about so well, seen by a board's cells. */
  static final double HELD_WITHIN_MV = 20;

  /** A board that tells its switch says itself that the stop was its own. */
  private static final int SURE = Integer.MAX_VALUE;

  /** No board stops the charge before a cell is so high. */
  private final int leastTenthMv;

  private final int kneeTenthMv;
  private final long[] times = new long[KEPT];

  /** Which cell was highest, by index. */
  private final int[] leaders = new int[KEPT];

  /** Charge that flows on with a cell above this disproves the stop, 0.1 mV. */
  private final int[] mostTenthMv = new int[KEPT];

  private final int cells;
  private final double chargeMv;
  private final Ring ring = new Ring(KEPT);
  private long firstUpMs;
  private final double[] counts = new double[KEPT];
  private int switchBefore = -1;

  /** Where the latest stop was while charge has not flowed again, 0.1 mV; else 0. */
  private int stoppedTenthMv;

  /** The highest that a cell was in two readings running while charge flowed, 0.1 mV. */
  private int passedTenthMv;

  /** The same in the charge before this. */
  private int passedBeforeTenthMv;

  /** By how much the highest cell rose in the latest step on charge, 0.1 mV. */
  private int roseTenthMv;

  Trips(PackPlan plan, int kneeMv) {
    cells = plan.series();
    chargeMv = plan.chargeMvPerCell();
    int sheetMv = Math.min(plan.chargeMvPerCell(), plan.limits().cutOffHighMv());
    OptionalInt tripMv = plan.board().map(BoardRating::tripHighMv).orElse(OptionalInt.empty());
    leastTenthMv = Math.min(sheetMv, tripMv.orElse(sheetMv)) * 10;
    kneeTenthMv = kneeMv * 10;
  }

  void clear() {
    ring.clear();
    stoppedTenthMv = 0;
    passedBeforeTenthMv = passedTenthMv;
    passedTenthMv = 0;
  }

  /** Takes the latest reading; true when it shows a trip. */
  boolean accept(Moment m, Reading reading, double countAh) {
    if (m.present() == 0) {
      return false;
    }
    int closed = reading.chargeSwitch().orElse(-1);
    boolean told = closed >= 0 && switchBefore >= 0;
    boolean opened = told && closed == 0 && switchBefore == 1;
    boolean isTrip = m.isJoined() && (told ? opened && highBefore(m) >= kneeTenthMv : stopped(m));
    switchBefore = closed;
    if (isTrip) {
      note(m, countAh, told ? SURE : highBefore(m) + unseenTenthMv());
      stoppedTenthMv = told ? 0 : highBefore(m);
    }
    passOn(m);
    return isTrip;
  }

  private boolean stopped(Moment m) {
    return isCharged(m, m.currentBeforeMa())
        && m.flowingMa() == 0
        && highBefore(m) + unseenTenthMv()
            >= Math.max(leastTenthMv, Math.max(passedTenthMv, passedBeforeTenthMv))
        && !isHeld(m);
  }

  private static boolean isCharged(Moment m, int currentMa) {
    return currentMa != Moment.MISSING && currentMa > 3 * m.deadZoneMa();
  }

  /** What the cell may have risen by unseen, and the board's error, 0.1 mV. */
  private int unseenTenthMv() {
    return roseTenthMv + ERROR_TENTH_MV;
  }

  /** True where the cells together stood at the charger's voltage. */
  private boolean isHeld(Moment m) {
    long sum = 0;
    for (int cell = 1; cell <= cells; cell++) {
      sum += m.cellBefore(cell) == Moment.MISSING ? m.cell(cell) : m.cellBefore(cell);
    }
    return Math.abs(sum / 10.0 / cells - chargeMv) <= HELD_WITHIN_MV;
  }

  /** Learns from a step on which charge flowed at both ends. */
  private void passOn(Moment m) {
    if (isCharged(m, m.currentMa())) {
      resumed(m);
    }
    if (!m.isJoined() || !isCharged(m, m.currentMa()) || !isCharged(m, m.currentBeforeMa())) {
      roseTenthMv = 0;
      return;
    }
    int before = highestBefore(m);
    roseTenthMv = before == Moment.MISSING ? 0 : Math.max(0, m.highest() - before);
    passedTenthMv = Math.max(passedTenthMv, Math.min(before, m.highest()));
    disprove();
  }

  private int highestBefore(Moment m) {
    int before = Moment.MISSING;
    for (int cell = 1; cell <= cells; cell++) {
      before = Math.max(before, m.cellBefore(cell));
    }
    return before;
  }

  /** Takes back a stop whose cell has not fallen until charge flowed again. */
  private void resumed(Moment m) {
    boolean hasFallen = highestBefore(m) + ERROR_TENTH_MV < stoppedTenthMv;
    if (stoppedTenthMv > 0 && m.isJoined() && !hasFallen && ring.size() > 0) {
      mostTenthMv[ring.newest(0)] = -1;
      disprove();
    }
    stoppedTenthMv = 0;
  }

  /** Takes back the stops below what a cell was at while charge flowed on. */
  private void disprove() {
    int kept = ring.size();
    int left = 0;
    for (int i = 0; i < kept; i++) {
      left += stands(ring.oldest(i)) ? 1 : 0;
    }
    if (left == kept) {
      return;
    }
    int[] places = new int[left];
    for (int i = 0, at = 0; i < kept; i++) {
      if (stands(ring.oldest(i))) {
        places[at++] = ring.oldest(i);
      }
    }
    long[] oldTimes = times.clone();
    double[] oldCounts = counts.clone();
    int[] oldLeaders = leaders.clone();
    int[] oldMost = mostTenthMv.clone();
    ring.clear();
    for (int i = 0; i < left; i++) {
      int place = ring.next();
      times[place] = oldTimes[places[i]];
      counts[place] = oldCounts[places[i]];
      leaders[place] = oldLeaders[places[i]];
      mostTenthMv[place] = oldMost[places[i]];
    }
    firstUpMs = left == 0 ? 0 : times[ring.oldest(0)];
  }

  private boolean stands(int place) {
    return mostTenthMv[place] >= passedTenthMv;
  }

  private int highBefore(Moment m) {
    return Math.max(m.highest(), highestBefore(m));
  }

  private void note(Moment m, double countAh, int most) {
    if (all() == 0) {
      firstUpMs = m.upMs();
    }
    int place = ring.next();
    times[place] = m.upMs();
    counts[place] = countAh;
    leaders[place] = m.highestCell() - 1;
    mostTenthMv[place] = most;
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
    int[] votes = new int[cells];
    for (int i = 0; i < ring.size(); i++) {
      votes[leaders[ring.oldest(i)]]++;
    }
    int most = 0;
    for (int i = 1; i < cells; i++) {
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
    io.each(leaders);
    io.each(mostTenthMv);
    passedTenthMv = io.number(passedTenthMv);
    passedBeforeTenthMv = io.number(passedBeforeTenthMv);
    roseTenthMv = io.number(roseTenthMv);
    stoppedTenthMv = io.number(stoppedTenthMv);
  }
}
