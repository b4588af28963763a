package org.cellherd.analysis.plausible;

import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.moment.Possible;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Channel.Kind;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Whether a channel moved further between two readings than it can by itself, while no second
 * channel moved with it. Cells in series carry one current: a step of it moves them all, and a
 * current that flows moves the cells by its drop in their resistance.
 */
final class Leap {
  /**
   * A step of a cell that is worth a second look, 0.1 mV, and so much more each second: bleeding
   * pulls a cell by its current in the sense wire, which is less.
   */
  static final long CELL = 1000;

  private static final double CELL_PER_S = 50;

  /** The jump of 15 K between readings would take 80 kJ in a cell of 5.5 kg. */
  static final int TENTH_C = 150;

  /** A step of the current of so much of the rated 1C moves cells by more than they scatter. */
  private static final double CURRENT_OF_1C = 0.2;

  private static final double OTHER_CURRENT_OF_1C = 0.05;

  /** The mean of all cells is known better than this, 0.1 mV. */
  private static final double LEAST_MOVE = 10;

  /** What noise makes of half of the cells where none moves, 0.1 mV. */
  private static final double SCATTER = 30;

  private final PackPlan plan;
  private final CellCurve curve;

  Leap(PackPlan plan) {
    this.plan = plan;
    curve = CellCurve.of(plan.chemistry());
  }

  /** What a current, a pack's voltage or a state of charge moves by at the least when it leaps. */
  double least(Kind kind) {
    return kind == Kind.CURRENT
        ? CURRENT_OF_1C * plan.ratedMah()
        : kind == Kind.PACK_VOLTAGE ? plan.series() * (CELL / 10.0) : Double.POSITIVE_INFINITY;
  }

  /** True when the value of a channel leapt and nothing else did. */
  boolean isAlone(Channel channel, Reading before, Reading now) {
    if (!before.has(channel) || !now.has(channel)) {
      return false;
    }
    long move = now.stored(channel) - before.stored(channel);
    double seconds = (now.timeMs() - before.timeMs()) / 1000.0;
    return switch (channel.kind()) {
      case CELL -> Math.abs(move) > CELL + CELL_PER_S * seconds && !isWithOthers(move, before, now);
      case TEMPERATURE -> Math.abs(move) > TENTH_C;
      case CURRENT ->
          Math.abs(move) > CURRENT_OF_1C * plan.ratedMah() && !isFelt(move, before, now);
      case PACK_VOLTAGE ->
          Math.abs(move) * 10.0 > plan.series() * (CELL + CELL_PER_S * seconds)
              && Math.abs(move * 10.0 - sumOfMoves(before, now)) > Math.abs(move) * 5.0;
      case SOC, BLEED_MASK, CHARGE_SWITCH, DISCHARGE_SWITCH, BOARD_CHARGE, BOARD_ALARMS -> false;
    };
  }

  /** The current stepped, or another cell went the same way by a quarter or more. */
  private boolean isWithOthers(long move, Reading before, Reading now) {
    int step = now.currentMa().orElse(0) - before.currentMa().orElse(0);
    boolean isStep = before.currentMa().isPresent() && now.currentMa().isPresent();
    if (isStep && Math.abs((double) step) > OTHER_CURRENT_OF_1C * plan.ratedMah()) {
      return true;
    }
    int with = -1;
    CellVoltages cells = now.cells();
    for (int cell = 1; cell <= cells.count(); cell++) {
      double share = (double) moveOf(cell, before, now) / move;
      with += share >= 0.25 ? 1 : 0;
    }
    return with >= 1;
  }

  /**
   * The cells moved as the least resistance of good cells asks for, all together or half of them;
   * of a cell that the current before drove on that is not known. True where no cells are told.
   */
  private boolean isFelt(long moveMa, Reading before, Reading now) {
    int known = Math.min(before.cells().presentCount(), now.cells().presentCount());
    double leastMv = CurrentCheck.LEAST_OHM_AH / plan.ratedAh() * Math.abs((double) moveMa);
    double least = Math.max(LEAST_MOVE, 10 * leastMv);
    double sign = Math.signum((double) moveMa);
    int felt = 0;
    for (int cell = 1; cell <= now.cells().count(); cell++) {
      boolean isMoved = sign * moveOf(cell, before, now) >= least + SCATTER;
      felt += isMoved || isDrivenOn(cell, sign, before, now) ? 1 : 0;
    }
    return sign * sumOfMoves(before, now) >= least * known || 2 * felt >= known;
  }

  /**
   * In a slow log a cell in its knee goes on as the current drove it for a part of the step, by
   * more than the end of that current gives back.
   */
  private boolean isDrivenOn(int cell, double sign, Reading before, Reading now) {
    double drivenMa = -sign * before.currentMa().orElse(0);
    double against = -sign * moveOf(cell, before, now);
    double pct = 100 * drivenMa * (now.timeMs() - before.timeMs()) / 3.6e6 / plan.ratedMah();
    return against > SCATTER && against <= 10 * pct * slope(cell, before, now);
  }

  /** The steepest that the curve may be where a cell was and is, mV a percent. */
  private double slope(int cell, Reading before, Reading now) {
    return Math.max(slope(before.cells(), cell), slope(now.cells(), cell));
  }

  private double slope(CellVoltages cells, int cell) {
    return curve.slope(cells.tenthMv(cell) / 10.0).map(Interval::high).orElse(0.0);
  }

  private static double sumOfMoves(Reading before, Reading now) {
    double sum = 0;
    for (int cell = 1; cell <= now.cells().count(); cell++) {
      sum += moveOf(cell, before, now);
    }
    return sum;
  }

  private static long moveOf(int cell, Reading before, Reading now) {
    boolean isKnown = before.cells().has(cell) && now.cells().has(cell);
    boolean isPossible = isKnown && Possible.is(Kind.CELL, now.cells().tenthMv(cell));
    return isPossible ? (long) now.cells().tenthMv(cell) - before.cells().tenthMv(cell) : 0;
  }
}
