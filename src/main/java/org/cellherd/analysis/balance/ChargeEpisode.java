package org.cellherd.analysis.balance;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;

/**
 * One charge: from the first current in until nothing has been charged or held for two hours, or a
 * tenth of the pack has been drawn. Trips, clouds and pauses within are part of it.
 */
final class ChargeEpisode {
  /** A charge that stops and goes on within this time is one charge: trips and clouds do so. */
  private static final long ONE_CHARGE_MS = 2 * 3_600_000L;

  private static final long TAIL_HOLD_MS = 60_000;

  private final double mostDrawnAh;
  private final int chargeTenthMv;
  private final int tailMa;
  private final int kneeTenthMv;

  private boolean isActive;
  private boolean wasAtTop;
  private long startUpMs;
  private long lastChargeUpMs;
  private long lastTopUpMs;
  private double startAh;
  private double mostAh;
  private long tailSinceMs = -1;
  private ChargeTermination end = ChargeTermination.UNKNOWN;

  ChargeEpisode(PackPlan plan, AnalysisSettings settings) {
    mostDrawnAh = plan.ratedAh() * 0.1;
    chargeTenthMv = (plan.chargeMvPerCell() - 20) * 10;
    tailMa = plan.tailMa();
    kneeTenthMv = settings.kneeMv() * 10;
  }

  /** True when the charge that was going on is over by now, before the entry is taken. */
  boolean isOver(Moment m, double countAh) {
    return isActive
        && (m.upMs() - lastChargeUpMs > ONE_CHARGE_MS || mostAh - countAh > mostDrawnAh);
  }

  void close() {
    isActive = false;
    wasAtTop = false;
  }

  /** Takes the latest reading. */
  void accept(Moment m, double countAh) {
    boolean flows = m.flowingMa() > 0;
    boolean isHeld = m.phase() == Phase.HOLD;
    if (!isActive) {
      if (!flows) {
        return;
      }
      begin(m, countAh);
    }
    if (flows || isHeld) {
      lastChargeUpMs = m.upMs();
      mostAh = Math.max(mostAh, countAh);
    }
    boolean isAtTop = m.highest() >= kneeTenthMv && (flows || isHeld);
    if (isAtTop) {
      wasAtTop = true;
      lastTopUpMs = m.upMs();
    }
    watchEnd(m, flows || isHeld);
  }

  private void begin(Moment m, double countAh) {
    isActive = true;
    wasAtTop = false;
    startUpMs = m.upMs();
    startAh = countAh;
    mostAh = countAh;
    tailSinceMs = -1;
    end = ChargeTermination.UNKNOWN;
  }

  private void watchEnd(Moment m, boolean isCharging) {
    boolean isAtVoltage = m.isComplete() && m.sum() >= (long) chargeTenthMv * m.series();
    if (!isCharging || !isAtVoltage || m.flowingMa() > tailMa) {
      boolean stopped = m.flowingMa() == 0 && m.currentBeforeMa() > tailMa;
      if (stopped && m.isJoined() && sumBefore(m) >= (long) chargeTenthMv * m.series()) {
        end = ChargeTermination.ABSORB_TIMER;
      }
      tailSinceMs = -1;
    } else if (tailSinceMs < 0) {
      tailSinceMs = m.upMs();
    } else if (m.upMs() - tailSinceMs >= TAIL_HOLD_MS) {
      end = ChargeTermination.TAIL;
    }
  }

  private static long sumBefore(Moment m) {
    long sum = 0;
    for (int cell = 1; cell <= m.series(); cell++) {
      if (m.cellBefore(cell) == Moment.MISSING) {
        return 0;
      }
      sum += m.cellBefore(cell);
    }
    return sum;
  }

  /** The board has just stopped the charge. */
  void tripped() {
    end = ChargeTermination.FIRST_CELL;
  }

  boolean isActive() {
    return isActive;
  }

  /** True when a cell was at the knee while charge flowed or was held. */
  boolean wasAtTop() {
    return isActive && wasAtTop;
  }

  ChargeTermination end() {
    return end;
  }

  long startUpMs() {
    return startUpMs;
  }

  long lastTopUpMs() {
    return lastTopUpMs;
  }

  /** Ah put in by this charge at its fullest. */
  double chargedAh() {
    return mostAh - startAh;
  }

  void state(State io) {
    isActive = io.flag(isActive);
    wasAtTop = io.flag(wasAtTop);
    startUpMs = io.number(startUpMs);
    lastChargeUpMs = io.number(lastChargeUpMs);
    lastTopUpMs = io.number(lastTopUpMs);
    startAh = io.number(startAh);
    mostAh = io.number(mostAh);
    tailSinceMs = io.number(tailSinceMs);
    end = io.constant(end);
  }
}
