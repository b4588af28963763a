package org.cellherd.analysis.result;

import java.math.RoundingMode;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.analysis.result.FullChargeResult.Apart;
import org.cellherd.analysis.result.FullChargeResult.CellLead;
import org.cellherd.pack.Facts;

/**
 * Where the balance of a pack stands.
 *
 * @param state the verdict
 * @param charge what the charge is doing
 * @param spreadMv highest less lowest cell
 * @param lead Ah by which each cell is ahead of the last one; open above where that is not known
 * @param bleedA by which the greatest lead falls while it is bled
 * @param remainingAh still to bleed
 * @param etaH hours until balanced
 * @param sinceMs since when this state holds, ms UTC
 * @param reasons evidence in plain words
 * @param lastTop verdict at the end of the last full charge
 * @param apart who stood apart before it was bled
 * @param balancedAtMs when the pack was first balanced in the latest charge, ms UTC
 * @param cause why the cells are apart
 * @param causeText the same for people
 * @param boardFloorMv what a board's voltages may be off by
 * @param bleedSource where the current of bleeding comes from
 * @param leadGrowth how the leads grow from one full charge to the next
 * @param costs5Pct when imbalance will cost 5 % of the capacity
 * @param spreadByClass spread of the cells by kind of moment
 */
public record BalanceResult(
    BalanceView.State state,
    BalanceView.Charge charge,
    @Digits(1) OptionalDouble spreadMv,
    List<CellLead> lead,
    @Digits(3) OptionalDouble bleedA,
    @Digits(2) Optional<Interval> remainingAh,
    Optional<Hours> etaH,
    @Time OptionalLong sinceMs,
    List<String> reasons,
    Optional<LastTop> lastTop,
    Optional<Apart> apart,
    @Time OptionalLong balancedAtMs,
    ApartCause cause,
    String causeText,
    int boardFloorMv,
    String bleedSource,
    List<CellGrowth> leadGrowth,
    Optional<Costs> costs5Pct,
    SpreadByClass spreadByClass)
    implements Result {

  /** Hours, rounded outward; without a middle where there is no end to them. */
  public record Hours(
      @Digits(value = 1, to = RoundingMode.FLOOR) double low,
      @Digits(1) double mid,
      @Digits(value = 1, to = RoundingMode.CEILING) double high) {
    /** Those of an interval. */
    public static Hours of(Interval hours) {
      double mid = Double.isInfinite(hours.high()) ? Double.NaN : hours.mid();
      return new Hours(hours.low(), mid, hours.high());
    }
  }

  /**
   * The verdict at the end of the last full charge.
   *
   * @param leftApart who stood apart then
   */
  public record LastTop(BalanceView.State state, @Time long atMs, Optional<Apart> leftApart) {}

  /** Days until imbalance costs so much. */
  public record Costs(@Digits(value = 0, style = Digits.Style.IN_FRONT) Interval days) {}

  /** Spread in one kind of moment, by the reading. */
  public record Spread(
      long readings,
      @Digits(1) double meanMv,
      @Digits(1) double sdMv,
      @Digits(1) double maxMv,
      @Digits(1) double recentMv) {}

  /** Spread of the cells by kind of moment. */
  public record SpreadByClass(
      @WhenKnown Optional<Spread> unknown,
      @WhenKnown Optional<Spread> rest,
      @WhenKnown Optional<Spread> hold,
      @WhenKnown Optional<Spread> chargePlateau,
      @WhenKnown Optional<Spread> upperKnee,
      @WhenKnown Optional<Spread> discharge,
      @WhenKnown Optional<Spread> lowerKnee,
      @WhenKnown Optional<Spread> idle) {}

  public BalanceResult {
    lead = List.copyOf(lead);
    reasons = List.copyOf(reasons);
    leadGrowth = List.copyOf(leadGrowth);
  }

  @Override
  public FindingName name() {
    return FindingName.BALANCE;
  }

  @Override
  public Facts facts() {
    return ResultForm.facts(this);
  }
}
