package org.cellherd.analysis.result;

import java.math.RoundingMode;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Worded;

/**
 * A discharge from full to empty, or one that was refused.
 *
 * @param fromMs first load, ms UTC
 * @param toMs its end
 * @param ah the capacity; empty when refused
 * @param energy drawn
 * @param ratedPct of the rated capacity
 * @param meanCurrentA mean current, positive
 * @param cRate the same over the rated capacity
 * @param drawnAh what was counted
 * @param sensor what the errors of the board's current leave open
 * @param conditions how it began, went and ended
 * @param reason why it was refused; empty when not
 * @param ahAt25c brought to 25 degC, with what that is unsure by
 * @param sinceFirst against the first comparable test
 * @param sincePrevious against the test before
 * @param otherRate against a test at another rate
 * @param limitedBy what kept the pack from giving more, where that is known
 * @param usable what imbalance and the smallest cell cost
 * @param weakCell the cell that ends the discharge, where it is told why
 * @param weakCause why
 * @param fallsBehindAhPerDay how fast the limiting cell falls behind, from one test to the next;
 *     empty unless it surely does
 */
public record CapacityResult(
    @Time long fromMs,
    @Time long toMs,
    @Digits(3) Optional<Interval> ah,
    @Inline Energy energy,
    @Digits(1) OptionalDouble ratedPct,
    @Digits(3) double meanCurrentA,
    @Digits(3) double cRate,
    @Digits(3) double drawnAh,
    @Inline Sensor sensor,
    @Inline Conditions conditions,
    Optional<String> reason,
    @Digits(3) Optional<Interval> ahAt25c,
    @WhenKnown Optional<Compared> sinceFirst,
    @WhenKnown Optional<Compared> sincePrevious,
    @WhenKnown Optional<Compared> otherRate,
    Optional<Limit> limitedBy,
    Optional<Usable> usable,
    @WhenKnown OptionalInt weakCell,
    @WhenKnown Optional<WeakCause> weakCause,
    @WhenKnown @Digits(3) Optional<Interval> fallsBehindAhPerDay)
    implements Result {

  /**
   * Energy drawn.
   *
   * @param wh of the capacity
   * @param whOfCells by the sum of the cells
   * @param whBy which voltage {@code wh} was counted with
   */
  public record Energy(@Digits(2) Optional<Interval> wh, @Digits(2) double whOfCells, WhBy whBy) {}

  /**
   * What the errors of the board's current leave open.
   *
   * @param restCurrentA mean current printed at rest
   * @param offsetAh how much of the charge its offset may be
   * @param gainPct how far its gain may be off, either way
   * @param metered true where the owner's meter was read on the current
   */
  public record Sensor(
      @Digits(3) double restCurrentA,
      @Digits(value = 3, style = Digits.Style.ENDS) Interval offsetAh,
      @Digits(value = 1, to = RoundingMode.CEILING) double gainPct,
      boolean metered) {}

  /**
   * How a discharge began, went and ended.
   *
   * @param startKind how the charge before it ended
   * @param endReason what ended it
   * @param limitingCell lowest cell at the end
   * @param endSpreadMv highest less lowest cell there
   * @param meanTempC mean temperature of the cells; NaN when not told
   * @param coveragePct share of it that was heard
   * @param endMv lowest cell at the end
   * @param endLagMv by how much that is below the median
   * @param meanV of the pack
   * @param restMinutes pauses within it
   * @param partial true when charge was left, and the rest is an estimate
   * @param limitingWasBehind true when that cell was not full at the end of the charge before, and
   *     most others were
   */
  public record Conditions(
      ChargeTermination startKind,
      Optional<EndReason> endReason,
      int limitingCell,
      @Digits(1) double endSpreadMv,
      @Digits(1) double meanTempC,
      @Digits(2) double coveragePct,
      @Digits(1) double endMv,
      @Digits(1) double endLagMv,
      @Digits(3) double meanV,
      @Digits(0) double restMinutes,
      boolean partial,
      boolean limitingWasBehind) {}

  /**
   * Against another test.
   *
   * @param atMs when that ended, ms UTC
   * @param ah what that gave
   * @param cRate its rate
   * @param comparable whether the two may be compared
   * @param obstacle why not
   * @param temperatureCorrected true when both were brought to 25 degC
   * @param ratioPct this one over that one
   * @param peukertK Peukert's exponent between the two rates
   */
  public record Compared(
      @Time long atMs,
      @Digits(3) double ah,
      @Digits(3) double cRate,
      boolean comparable,
      Optional<String> obstacle,
      boolean temperatureCorrected,
      @Digits(1) OptionalDouble ratioPct,
      @Digits(4) Optional<Interval> peukertK) {}

  /**
   * What the cells that are full first and empty first cost the string.
   *
   * @param firstFullCell full first
   * @param firstEmptyCell empty first
   * @param smallestCell holds least
   * @param balanced what the pack would give with all cells full at once
   * @param imbalanceCosts what balancing would bring
   * @param smallestCosts what the pack would give more, were the smallest cell like the others
   * @param left what each cell holds at the end
   */
  public record Usable(
      int firstFullCell,
      int firstEmptyCell,
      int smallestCell,
      Amount balanced,
      Amount imbalanceCosts,
      Amount smallestCosts,
      List<Left> left) {}

  /** Charge, Ah. */
  public record Amount(@Digits(value = 2, style = Digits.Style.IN_FRONT) Interval ah) {}

  /** Charge left in a cell, Ah. */
  public record Left(@Digits(value = 2, style = Digits.Style.IN_FRONT) Interval ah, int cell) {}

  @Override
  public FindingName name() {
    return FindingName.CAPACITY;
  }

  @Override
  public Facts facts() {
    return ResultForm.facts(this);
  }

  /** True for a test from full to empty; what left charge in the pack is an estimate. */
  public boolean isWhole() {
    return ah.isPresent() && !conditions.partial();
  }

  /** True when surely the cells' capacity ended it, and not how they are charged. */
  public boolean isOfCells() {
    return ah.isPresent() && limitedBy.filter(l -> l == Limit.CAPACITY).isPresent();
  }

  /** What ended a discharge. */
  public enum EndReason implements Worded {
    /** A cell reached the cut-off of its chemistry. */
    CUT_OFF,
    /** The board opened at its own low limit. */
    BOARD_LIMIT,
    /**
     * The load was taken off with a cell at or below the low warning level, short of the cut-off.
     */
    STOPPED_LOW,
    /** The load was taken off with charge left; the rest was estimated from the resting voltage. */
    STOPPED_EARLY;

    @Override
    public String word() {
      return Underscored.word(this);
    }
  }

  /** What keeps a pack from giving more. */
  public enum Limit implements Worded {
    /** What its smallest cell holds: balancing would bring next to nothing. */
    CAPACITY,
    /** Other cells are full first than are empty first: balancing would bring some. */
    CHARGE,
    /** The charge before did not show how the cells stood, or not well enough. */
    UNKNOWN;

    @Override
    public String word() {
      return Underscored.word(this);
    }
  }

  /** Why one cell ends each discharge. */
  public enum WeakCause implements Worded {
    /** It holds less than the others: balancing does not help. */
    LOW_CAPACITY,
    /** It was less full than the others: balancing helps. */
    LOW_CHARGE,
    /** One of these. */
    LOW_CHARGE_OR_CAPACITY;

    @Override
    public String word() {
      return Underscored.word(this);
    }
  }

  /** Which voltage an energy was counted with. */
  public enum WhBy implements Worded {
    /** Nobody told. */
    UNKNOWN,
    /** At the terminals. */
    PACK_VOLTAGE,
    /** The sum of the cells. */
    CELLS;

    @Override
    public String word() {
      return Underscored.word(this);
    }
  }
}
