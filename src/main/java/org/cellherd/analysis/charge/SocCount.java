package org.cellherd.analysis.charge;

import org.cellherd.analysis.CurrentFit;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.flow.CountedCharge;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.result.SocResult;
import org.cellherd.analysis.state.State;

/**
 * State of charge counted from an anchor, as bounds: an error of the capacity grows with the way
 * from the anchor, hidden currents and gaps with time. All Ah are the board's own: the gain of its
 * sensor matters only where they are compared with a label. Since no pack is ever below 0 or above
 * 100 %, the deepest and highest count since the anchor bound it as well, and move the middle of an
 * anchor that is not sharp.
 */
final class SocCount {
  private static final double SLACK_PCT = 3;
  private static final double MEASURED_ERROR = 0.03;

  /** From empty to full, or back. */
  private static final double LEAST_SPAN_PCT = 80;

  /** Cells that hold less are not used any more (common practice, no source). */
  private static final double LEAST_BELIEVED = 0.4;

  private final double ratedAh;
  private double capacityAh;
  private double leastAh;
  private double mostAh;
  private Interval anchorPct = SocResult.Anchor.NONE.pct();
  private double netAh;
  private double lowestAh;
  private double highestAh;
  private double unsureAh;
  private double samplingSquared;
  private double overrunAh;

  SocCount(double ratedAh) {
    this.ratedAh = ratedAh;
    capacityAh = ratedAh;
    Interval usual = CountedCharge.usualAh(ratedAh);
    leastAh = usual.low() * (1 - CurrentFit.USUAL_GAIN);
    mostAh = usual.high() * (1 + CurrentFit.USUAL_GAIN);
  }

  /** A capacity was measured. */
  void measured(double ah) {
    capacityAh = ah;
    leastAh = ah * (1 - MEASURED_ERROR);
    mostAh = ah * (1 + MEASURED_ERROR);
  }

  /**
   * The whole way between an empty and a full anchor was counted, and it is not what the plan says:
   * what fits is what the pack holds.
   *
   * @return false when no pack that is worth using holds so little, or so much
   */
  boolean spanned(Interval to) {
    double wayPct = to.mid() - anchorPct.mid();
    double ah = 100 * netAh / wayPct;
    boolean isWhole = Math.abs(wayPct) >= LEAST_SPAN_PCT;
    if (!isWhole
        || !(ah >= LEAST_BELIEVED * ratedAh)
        || ah > CountedCharge.usualAh(ratedAh).high()) {
      return false;
    }
    capacityAh = ah;
    leastAh = Math.max(LEAST_BELIEVED * ratedAh, ah * (1 - MEASURED_ERROR) - unsureAh());
    mostAh = ah * (1 + MEASURED_ERROR) + unsureAh();
    return true;
  }

  void anchor(Interval pct) {
    leastAh = leastAh();
    anchorPct = pct;
    netAh = 0;
    lowestAh = 0;
    highestAh = 0;
    unsureAh = 0;
    samplingSquared = 0;
    overrunAh = 0;
  }

  /**
   * Counts a step.
   *
   * @param ah net charge, positive in
   * @param hiddenAh what may have flowed unseen, either way
   */
  void add(double ah, double hiddenAh) {
    netAh += ah;
    unsureAh += hiddenAh;
    lowestAh = Math.min(lowestAh, netAh);
    highestAh = Math.max(highestAh, netAh);
    double mid = mid();
    if (mid > 100) {
      giveWay(-Math.min(mid - 100, anchorPct.mid() - anchorPct.low()));
    } else if (mid < 0) {
      giveWay(Math.min(-mid, anchorPct.high() - anchorPct.mid()));
    }
    double beyond = Math.max(mid() - 100 - SLACK_PCT, 0) + Math.min(mid() + SLACK_PCT, 0);
    if (beyond != 0) {
      overrun(beyond / 100 * capacityAh);
    }
  }

  /** The current changed over a step that was counted. */
  void sampled(Amounts step) {
    samplingSquared += step.samplingSquared();
  }

  private double unsureAh() {
    return Math.hypot(unsureAh, 2 * Math.sqrt(samplingSquared));
  }

  private double mid() {
    return anchorPct.mid() + 100 * netAh / capacityAh;
  }

  /** The pack must have been elsewhere within the anchor's bounds. */
  private void giveWay(double byPct) {
    double low = anchorPct.low();
    double high = anchorPct.high();
    double mid = Math.max(low, Math.min(high, anchorPct.mid() + byPct));
    anchorPct = new Interval(low, mid, high);
  }

  /**
   * More was counted than fits: the surplus is not there, and as much again may have been counted
   * wrongly before.
   */
  private void overrun(double ah) {
    netAh -= ah;
    overrunAh += ah;
    unsureAh += Math.abs(ah);
    lowestAh = netAh;
    highestAh = netAh;
  }

  /** What was counted beyond full (positive) or empty (negative) since the anchor, Ah. */
  double overrunAh() {
    return overrunAh;
  }

  double netAh() {
    return netAh;
  }

  double capacityAh() {
    return capacityAh;
  }

  /** It holds what it gave or took between two anchors, whatever its label says. */
  private double leastAh() {
    return Math.max(leastAh, Math.min(mostAh, highestAh - lowestAh - unsureAh()));
  }

  /** Percent, with bounds. */
  Interval pct() {
    double leastAh = leastAh();
    double unsure = 100 * unsureAh() / leastAh;
    double byLeast = 100 * netAh / leastAh;
    double byMost = 100 * netAh / mostAh;
    double low = anchorPct.low() + Math.min(byLeast, byMost) - unsure;
    double high = anchorPct.high() + Math.max(byLeast, byMost) + unsure;
    low = Math.max(low, 100 * (netAh - lowestAh) / mostAh - unsure);
    high = Math.min(high, 100 - 100 * (highestAh - netAh) / mostAh + unsure);
    low = Math.max(0, Math.min(100, low));
    high = Math.max(low, Math.min(100, high));
    return new Interval(low, Math.max(low, Math.min(high, mid())), high);
  }

  void state(State io) {
    capacityAh = io.number(capacityAh);
    leastAh = io.number(leastAh);
    mostAh = io.number(mostAh);
    anchorPct = anchorPct.state(io);
    netAh = io.number(netAh);
    lowestAh = io.number(lowestAh);
    highestAh = io.number(highestAh);
    unsureAh = io.number(unsureAh);
    samplingSquared = io.number(samplingSquared);
    overrunAh = io.number(overrunAh);
  }
}
