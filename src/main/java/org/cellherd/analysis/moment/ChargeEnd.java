package org.cellherd.analysis.moment;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Tells when the pack was as full as its charge made it, and how that charge ended. Full by the
 * tail current follows the data sheet of a 304 Ah prismatic LFP cell: charge voltage reached and
 * current at C/20 or below, here held for a minute. Belongs to one thread.
 */
public final class ChargeEnd {

  private static final long DWELL_MS = 60_000;
  private static final int MARGIN_MV = 20;
  private static final double UNHEARD_SHARE = 0.01;

  /** A held voltage moves less than this, mV a minute and cell. */
  private static final double HELD_MV_PER_MIN = 0.5;

  private final PackPlan plan;
  private final AnalysisSettings settings;
  private final Moment moment;

  private ChargeTermination kind = ChargeTermination.NONE;
  private long topUpMs;
  private int topHighestCell;
  private long tailSinceMs = -1;
  private boolean isCharging;
  private boolean hasSeenCharge;
  private int lastMa;
  private int lastMeanMv;
  private int lastHighestMv;
  private int lastHighestCell;
  private boolean wasHeld;
  private boolean isTop;

  ChargeEnd(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.plan = plan;
    this.settings = settings;
    this.moment = moment;
  }

  /** Looks at the latest entry, which the moment has taken already. */
  void accept(LogEntry entry) {
    isTop = entry instanceof Reading reading && watch(reading);
  }

  /** True when the pack is at its top by the latest entry; stays true while the tail lasts. */
  public boolean isTop() {
    return isTop;
  }

  private boolean watch(Reading reading) {
    if (moment.present() == 0 || moment.currentMa() == Moment.MISSING) {
      return false;
    }
    if (isTail()) {
      return top(ChargeTermination.TAIL, moment.highestCell());
    }
    if (moment.flowingMa() > 0) {
      noteCharge();
      return false;
    }
    if (isCharging) {
      isCharging = false;
      ChargeTermination end = isHeard() ? chargeEnd(reading) : ChargeTermination.NONE;
      return end != ChargeTermination.NONE && top(end, lastHighestCell);
    }
    return isFullAtFirstSight() && top(ChargeTermination.UNKNOWN, moment.highestCell());
  }

  private boolean top(ChargeTermination how, int highestCell) {
    kind = how;
    topUpMs = moment.readingUpMs();
    topHighestCell = highestCell;
    return true;
  }

  /**
   * True when the charge ended before the eyes of the board. In a silence the pack may have been
   * full and much drawn since: what is full now is known to 1 % of the capacity, or not at all.
   */
  private boolean isHeard() {
    long most = Math.max(lastMa, Math.abs(moment.flowingMa()));
    return moment.step() != Moment.Step.GAP
        || most * moment.stepMs() / 3.6e6 <= UNHEARD_SHARE * plan.ratedMah();
  }

  private boolean isTail() {
    Phase now = moment.phase();
    boolean isLow =
        (now == Phase.HOLD || now == Phase.UPPER_KNEE)
            && moment.flowingMa() <= plan.tailMa()
            && isAtChargeVoltage(meanMv(), isHeld());
    if (!isLow) {
      tailSinceMs = -1;
      return false;
    }
    if (tailSinceMs < 0) {
      tailSinceMs = moment.readingUpMs();
    }
    if (!hasSeenCharge && moment.flowingMa() == 0) {
      return false;
    }
    noteCharge();
    return moment.readingUpMs() - tailSinceMs >= DWELL_MS;
  }

  private boolean isAtChargeVoltage(int meanMv, boolean held) {
    return meanMv >= plan.limits().fullMv() - MARGIN_MV
        && (held || meanMv >= plan.chargeMvPerCell() - MARGIN_MV);
  }

  private boolean isHeld() {
    return Math.abs(moment.meanSlopeMvPerMin()) < HELD_MV_PER_MIN;
  }

  private void noteCharge() {
    isCharging = true;
    hasSeenCharge = true;
    lastMa = moment.flowingMa();
    lastMeanMv = meanMv();
    lastHighestMv = moment.highest() / 10;
    lastHighestCell = moment.highestCell();
    wasHeld = isHeld();
  }

  private ChargeTermination chargeEnd(Reading reading) {
    boolean hasOpened = reading.chargeSwitch().orElse(1) == 0;
    int trip = plan.board().map(b -> b.tripHighMv().orElse(noTrip())).orElse(noTrip());
    if (lastHighestMv >= trip - MARGIN_MV
        || (hasOpened && lastHighestMv >= plan.limits().fullMv())) {
      return isAtChargeVoltage(lastMeanMv, false) && lastMa <= plan.tailMa()
          ? ChargeTermination.TAIL
          : ChargeTermination.FIRST_CELL;
    }
    if (isAtChargeVoltage(lastMeanMv, wasHeld)) {
      return lastMa <= plan.tailMa() ? ChargeTermination.TAIL : ChargeTermination.ABSORB_TIMER;
    }
    return ChargeTermination.NONE;
  }

  /** Where the board's trip is not told, a cell this high above its measuring level ends it. */
  private int noTrip() {
    return Math.max(plan.limits().warnHighMv(), plan.chargeMvPerCell() + 2 * MARGIN_MV);
  }

  private boolean isFullAtFirstSight() {
    int level = Math.max(settings.kneeMv(), settings.blindToMv()) * 10;
    return !hasSeenCharge
        && (kind == ChargeTermination.NONE || kind == ChargeTermination.UNKNOWN)
        && moment.flowingMa() == 0
        && moment.lowest() >= level;
  }

  private int meanMv() {
    return (int) (moment.sum() / (10L * moment.present()));
  }

  /** How the latest charge that counts ended. */
  public ChargeTermination kind() {
    return kind;
  }

  /** Fold time of the latest top. */
  public long topUpMs() {
    return topUpMs;
  }

  /** The highest cell there; 0 before the first. */
  public int topHighestCell() {
    return topHighestCell;
  }

  /**
   * The cells that are still on their plateau at a top of this reading, where most are not: neither
   * it nor the one before, with the last of the charge, shows them above. Bit 0 is cell 1.
   */
  public long behind(Moment now) {
    if (!plan.chemistry().plateau().isFlat()) {
      return 0;
    }
    int plateauEnds = plan.chemistry().plateau().blindToMv() * 10;
    long behind = 0;
    for (int cell = 1; cell <= plan.series(); cell++) {
      boolean isHeard = now.cell(cell) != Moment.MISSING;
      if (isHeard && Math.max(now.cell(cell), now.cellBefore(cell)) < plateauEnds) {
        behind |= 1L << (cell - 1);
      }
    }
    return Long.bitCount(behind) <= plan.series() / 2 ? behind : 0;
  }

  void state(State io) {
    kind = io.constant(kind);
    topUpMs = io.number(topUpMs);
    topHighestCell = io.number(topHighestCell);
    tailSinceMs = io.number(tailSinceMs);
    isCharging = io.flag(isCharging);
    hasSeenCharge = io.flag(hasSeenCharge);
    wasHeld = io.flag(wasHeld);
    lastMa = io.number(lastMa);
    lastMeanMv = io.number(lastMeanMv);
    lastHighestMv = io.number(lastHighestMv);
    lastHighestCell = io.number(lastHighestCell);
  }
}
