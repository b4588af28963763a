package org.cellherd.analysis.balance;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.SelfDischarge;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.moment.FrameClass;
import org.cellherd.analysis.result.ApartCause;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/**
 * Why the cells are apart, as far as the log tells.
 *
 * @param word what it is
 * @param cell the cell concerned from 1, 0 for none
 * @param text for people
 */
record Cause(ApartCause word, int cell, String text) {

  private static final long LEAST_MINUTES = 10;

  /**
   * A cell of 15 % less capacity than the others (common practice, no source) is apart by half of
   * that where charging was seen half the pack's capacity away from discharging.
   */
  private static final double BY_CAPACITY = 0.15 / 2;

  static final Cause UNKNOWN = new Cause(ApartCause.UNKNOWN, 0, "The cause cannot be told yet.");

  /** What the judgement rests on. */
  record Evidence(
      ClassStatistics classes, LeadHistory history, PathResistance path, PackPlan plan) {}

  /**
   * Judges.
   *
   * @param astray the cell that stands apart at the top; null when none
   */
  static Cause judge(Evidence e, int cells, @Nullable Astray astray) {
    Cause wiring = wiring(e, cells);
    if (wiring != null) {
      return wiring;
    }
    Cause resistance = resistance(e, cells);
    if (resistance != null) {
      return resistance;
    }
    Cause leaking = leaking(e, cells);
    if (leaking != null) {
      return leaking;
    }
    if (astray == null) {
      return UNKNOWN;
    }
    return astray.isBehind() ? lacking(astray.cell()) : bottom(e, cells, astray.cell());
  }

  /** A tap between two cells moves both by the same amount, oppositely, at rest as well. */
  private static @Nullable Cause wiring(Evidence e, int cells) {
    SpreadSeries rest = e.classes().get(FrameClass.REST);
    if (rest.minutes() < LEAST_MINUTES) {
      return null;
    }
    for (int i = 0; i + 1 < cells; i++) {
      double a = rest.deviationMv(i);
      double b = rest.deviationMv(i + 1);
      boolean isPair = Math.abs(a) >= 10 && a * b < 0 && Math.abs(a + b) < 0.2 * Math.abs(a);
      if (isPair && isAlone(rest, cells, i) && isSteady(e, i)) {
        return new Cause(
            ApartCause.WIRING,
            i + 1,
            "Cells "
                + (i + 1)
                + " and "
                + (i + 2)
                + " are off by the same amount in opposite"
                + " directions even at rest: look at the sense wire between them.");
      }
    }
    return null;
  }

  /** Where other cells are apart as well, two that mirror each other are chance. */
  private static boolean isAlone(SpreadSeries rest, int cells, int first) {
    double most = 0;
    for (int i = 0; i < cells; i++) {
      boolean isOther = i != first && i != first + 1;
      most = isOther ? Math.max(most, Math.abs(rest.deviationMv(i))) : most;
    }
    return most < Math.abs(rest.deviationMv(first)) / 3;
  }

  /** A wire's error is the same wherever the cells stand, a difference of charge is not. */
  private static boolean isSteady(Evidence e, int first) {
    SpreadSeries rest = e.classes().get(FrameClass.REST);
    for (FrameClass other : new FrameClass[] {FrameClass.CHARGE_PLATEAU, FrameClass.DISCHARGE}) {
      SpreadSeries s = e.classes().get(other);
      double change = (s.deviationMv(first) - s.deviationMv(first + 1)) / 2;
      change -= (rest.deviationMv(first) - rest.deviationMv(first + 1)) / 2;
      if (s.minutes() >= LEAST_MINUTES
          && Math.abs(change) > Math.abs(rest.deviationMv(first)) / 3) {
        return false;
      }
    }
    return true;
  }

  /**
   * A cell or strap of high resistance is high while charging and low while discharging; so is a
   * cell of less capacity, by the curve, where charging was seen nearer to full.
   */
  private static @Nullable Cause resistance(Evidence e, int cells) {
    SpreadSeries charge = e.classes().get(FrameClass.CHARGE_PLATEAU);
    SpreadSeries discharge = e.classes().get(FrameClass.DISCHARGE);
    double amperes = charge.amperes() - discharge.amperes();
    if (charge.minutes() < LEAST_MINUTES
        || discharge.minutes() < LEAST_MINUTES
        || amperes < 0.1 * e.plan().ratedAh()) {
      return null;
    }
    int most = 0;
    for (int i = 1; i < cells; i++) {
      double more = charge.deviationMv(i) - discharge.deviationMv(i);
      most = more > charge.deviationMv(most) - discharge.deviationMv(most) ? i : most;
    }
    double up = charge.deviationMv(most);
    double down = discharge.deviationMv(most);
    double leastMv = 500 * amperes * e.path().ohm() + AnalysisSettings.BOARD_FLOOR_MV;
    leastMv += BY_CAPACITY * voltsOverTheMiddle(e.plan()) * 1000;
    return up > 2 && down < -2 && up - down > leastMv ? resistive(most + 1) : null;
  }

  /** Rise from a fifth to four fifths of the charge, as over the whole of it. */
  private static double voltsOverTheMiddle(PackPlan plan) {
    CellCurve curve = CellCurve.of(plan.chemistry());
    return (curve.volts(0.8) - curve.volts(0.2)) / 0.6;
  }

  private static Cause resistive(int cell) {
    return new Cause(
        ApartCause.RESISTANCE,
        cell,
        "Cell "
            + cell
            + " is high while charging and low while discharging: its"
            + " resistance, or the strap within its sense wires, is too high.");
  }

  private static @Nullable Cause leaking(Evidence e, int cells) {
    double leastAhPerDay = SelfDischarge.soundMa(e.plan().ratedAh()) * 24 / 1000;
    for (int i = 0; i < cells; i++) {
      Interval growth = e.history().growth(i);
      if (growth != null && growth.high() < -leastAhPerDay) {
        return new Cause(
            ApartCause.LEAKING,
            i + 1,
            "Cell "
                + (i + 1)
                + " falls further behind from one full charge to the next: it"
                + " discharges itself faster than the others.");
      }
    }
    return null;
  }

  private static Cause lacking(int cell) {
    return new Cause(
        ApartCause.CHARGE_DIFFERENCE,
        cell,
        "Cell "
            + cell
            + " holds less charge than all others, which balancing mends, and which comes back if"
            + " it discharges itself.");
  }

  /** Where the leader of the top stands at the bottom. */
  private static Cause bottom(Evidence e, int cells, int leader) {
    SpreadSeries low = e.classes().get(FrameClass.LOWER_KNEE);
    if (low.minutes() >= LEAST_MINUTES) {
      int lowest = 0;
      for (int i = 1; i < cells; i++) {
        lowest = low.deviationMv(i) < low.deviationMv(lowest) ? i : lowest;
      }
      if (lowest + 1 == leader && low.deviationMv(lowest) < -20) {
        return new Cause(
            ApartCause.LOW_CAPACITY,
            leader,
            "Cell "
                + leader
                + " is first at the top and first at the bottom: it has the least"
                + " capacity, which no balancing mends.");
      }
    }
    return new Cause(
        ApartCause.CHARGE_DIFFERENCE,
        leader,
        "Cell " + leader + " holds more charge than the others, which balancing mends.");
  }
}
