package org.cellherd.analysis.result;

import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.pack.Facts;

/**
 * Cycles, capacity over the years, life left, and cells that leak.
 *
 * @param equivalentFullCycles those before the log included
 * @param cyclesInLog equivalent full cycles
 * @param logDays days that it rests on
 * @param capacityHistory tests, oldest first
 * @param capacityNowAh the newest, at 25 degC; empty without a test
 * @param ratedPct the same of the rated capacity
 * @param capacityTrendPctPerYear of the rated capacity; empty while tests do not tell
 * @param capacityLeftEarlyLevelAtMs when it left its early level, ms UTC
 * @param life left
 * @param lifeBasis what that rests on
 * @param reason why no more is said
 * @param usedCyclesTrade cycles used so far by a rule of the second-life trade
 * @param use how it is used
 * @param cycles by depth
 * @param leadGrowth how the leads of the cells grow
 * @param leaking cells that surely lose more than a sound cell may
 */
public record AgeingResult(
    @Digits(2) double equivalentFullCycles,
    @Digits(2) double cyclesInLog,
    @Digits(1) double logDays,
    List<Tested> capacityHistory,
    @Digits(3) Optional<Interval> capacityNowAh,
    @Digits(1) Optional<Interval> ratedPct,
    @Digits(2) Optional<Interval> capacityTrendPctPerYear,
    @WhenKnown @Time OptionalLong capacityLeftEarlyLevelAtMs,
    List<Life> life,
    String lifeBasis,
    Optional<String> reason,
    @Digits(value = 0, style = Digits.Style.ENDS) Optional<Interval> usedCyclesTrade,
    @Inline Use use,
    List<Depth> cycles,
    List<CellGrowth> leadGrowth,
    List<Leaking> leaking)
    implements Result {

  /**
   * A capacity test.
   *
   * @param atMs when, ms UTC
   * @param ah what it gave
   * @param ratedPct the same of the rated capacity
   * @param cRate mean current
   * @param inTrend true where it counts for the trend
   */
  public record Tested(
      @Time long atMs,
      @Digits(3) double ah,
      @Digits(1) double ratedPct,
      @Digits(3) double cRate,
      boolean inTrend) {}

  /** Years left until a share of the rated capacity; open above beyond the horizon. */
  public record Life(
      int toPct, @Digits(value = 1, style = Digits.Style.IN_FRONT) Optional<Interval> years) {}

  /** How a pack is used, on the average of its log; NaN where that is not told. */
  public record Use(
      @Digits(1) double meanTempC,
      @Digits(1) double meanSocPct,
      @Digits(0) double meanDepthPct,
      @Digits(3) double meanCRate,
      @Digits(1) double cyclesPerYear) {}

  /** Cycles of a depth up to so many percent. */
  public record Depth(int depthToPct, @Digits(1) double cycles) {}

  /**
   * A leaking cell.
   *
   * @param cell from 1
   * @param leakMa what it loses
   * @param daysTo5Pct in how many days that is 5 % of the rating
   * @param behindAh by how much it was behind the median cell when the pack was last full; empty
   *     where that full charge did not tell
   */
  public record Leaking(
      int cell,
      @Digits(value = 1, style = Digits.Style.ENDS) Interval leakMa,
      @Digits(value = 0, style = Digits.Style.ENDS) Interval daysTo5Pct,
      @WhenKnown @Digits(value = 2, style = Digits.Style.ENDS) Optional<Interval> behindAh) {

    /** True when only the least is known. */
    public boolean isOpen() {
      return Double.isInfinite(leakMa.high());
    }
  }

  public AgeingResult {
    capacityHistory = List.copyOf(capacityHistory);
    life = List.copyOf(life);
    cycles = List.copyOf(cycles);
    leadGrowth = List.copyOf(leadGrowth);
    leaking = List.copyOf(leaking);
  }

  /** What is known of a cell that leaks, from 1. */
  public Optional<Leaking> leaking(int cell) {
    return leaking.stream().filter(l -> l.cell() == cell).findFirst();
  }

  @Override
  public FindingName name() {
    return FindingName.AGEING;
  }

  @Override
  public Facts facts() {
    return ResultForm.facts(this);
  }
}
