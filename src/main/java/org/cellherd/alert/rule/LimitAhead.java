package org.cellherd.alert.rule;

import java.util.OptionalDouble;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * The first cell will reach its limit within minutes at its present rate. While charging only where
 * the charger will not stop first: the whole pack must still be below its charge voltage at that
 * time. While discharging only where the load does not stop first, as far as its own stops tell.
 */
public final class LimitAhead extends Rule {
  public static final RuleId ID = new RuleId("limit-ahead");

  static final Rule.Kind KIND =
      Rule.Kind.ofAll(
          ID,
          "a cell reaches its limit within 10 min at its present rate.",
          LimitAhead::defaults,
          (plan, all) -> new LimitAhead(plan, all.rule(ID), all.rule(Runner.ID)));

  private static final double ALIKE_MV = 3;

  /**
   * A board's inputs err by about 3 mV, and a charger holds within a few more of its setting
   * (common practice, no source): a pack that the charger holds may read so much less, a cell.
   */
  private static final double SUM_ERROR_MV = 5;

  private static final double NEVER = Double.POSITIVE_INFINITY;

  private final double highMv;
  private final double lowMv;
  private final double aheadMv;
  private final double leastRate;
  private final double mostMinutes;
  private final double overMinutes;
  private final double runsFromMv;
  private final double runsAboveMv;
  private final PublishedKnee knee;
  private final double kneeMv;
  private final double lowKneeMv;
  private final double chargeMv;
  private final LoadStop loadStop = new LoadStop();

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING)
        .number("limit_min", 10, 0.5, 240, "warns when a cell reaches its limit in less")
        .number("deadband_min", 5, 0, 240, "over only this much later")
        .number("above_mv", 40, 0, 2000, "charging: a cell this far above the median")
        .number("rate_mv_per_min", 2, 0.1, 1000, "slower changes are not looked at")
        .cellMv("high_mv", CellHigh.highLimit(plan), "the limit ahead while charging")
        .cellMv("low_mv", plan.limits().cutOffLowMv(), "the limit while discharging")
        .delays(60, 120)
        .repeatedAfter(0);
  }

  LimitAhead(PackPlan plan, RuleSettings set, RuleSettings runner) {
    super(Terms.live(set, "min").ofACharge().spoiltAs(Doubt.VOLTAGE));
    this.highMv = set.number("high_mv");
    this.lowMv = set.number("low_mv");
    this.aheadMv = set.number("above_mv");
    this.leastRate = set.number("rate_mv_per_min");
    this.mostMinutes = set.number("limit_min");
    this.overMinutes = mostMinutes + set.number("deadband_min");
    this.runsFromMv = runner.number("from_mv");
    this.runsAboveMv = runner.number("above_mv");
    this.knee = new PublishedKnee(plan);
    this.kneeMv = plan.limits().kneeMv();
    this.lowKneeMv = plan.chemistry().plateau().lowKneeMv();
    this.chargeMv = plan.chargeMv();
  }

  @Override
  public void watch(RuleInput input) {
    loadStop.watch(input, lowKneeMv);
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    CellVoltages cells = input.confirmedCells().orElse(CellVoltages.NONE);
    if (input.flowingMa().isEmpty() || cells.presentCount() == 0) {
      return;
    }
    boolean isUp = input.flowingMa().getAsInt() >= 0;
    double firstMv = cells.mv(isUp ? cells.highestCell() : cells.lowestCell());
    boolean isNear = isUp ? firstMv >= kneeMv : firstMv <= lowKneeMv;
    for (int cell = 1; cell <= cells.count(); cell++) {
      if (!cells.has(cell)) {
        continue;
      }
      // Only the first cell, and those that cannot be told from it, are looked at.
      if (isNear && Math.abs(cells.mv(cell) - firstMv) <= ALIKE_MV) {
        judge(cell, cells, input, out);
      } else if (out.needs(cell, 0)) {
        out.judge(cell, Judgement.fine());
      }
    }
  }

  private void judge(int cell, CellVoltages cells, RuleInput input, Verdicts out) {
    double mv = cells.mv(cell);
    int flow = input.flowingMa().orElseThrow();
    boolean isHigh = flow >= 0 && mv >= kneeMv;
    boolean isLow = flow < 0 && mv <= lowKneeMv;
    if ((!isHigh && !isLow) || (isHigh && !isAhead(mv, cells))) {
      out.judge(cell, Judgement.fine());
      return;
    }
    if (isOthersBusiness(mv, cells, isHigh) && !out.isActive(cell)) {
      return;
    }
    if (input.cellRate(cell).isPresent()) {
      out.judge(cell, judge(cell, input, isHigh));
    }
  }

  /**
   * A cell that runs away or is past its limit has its own alert: no second one begins, and one
   * that warned of it goes on saying how it is.
   */
  private boolean isOthersBusiness(double mv, CellVoltages cells, boolean isHigh) {
    double aboveMv = mv - cells.medianMv();
    boolean runs = mv >= runsFromMv && aboveMv >= runsAboveMv;
    return isHigh ? runs || mv > highMv : mv < lowMv;
  }

  /** In a healthy pack the cells rise together and the charger stops; then nothing is told. */
  private boolean isAhead(double mv, CellVoltages cells) {
    double aboveMv = mv - cells.medianMv();
    boolean isOver = cells.sumTenthMv().orElse(0) / 10.0 > chargeMv;
    return aboveMv >= aheadMv || isOver;
  }

  private Judgement judge(int cell, RuleInput input, boolean isHigh) {
    double minutes = minutes(cell, input, isHigh);
    return minutes >= overMinutes
        ? Judgement.fine()
        : new Judgement(
            minutes < mostMinutes ? 1 : 0,
            false,
            minutes,
            mostMinutes,
            () -> words(cell, input, isHigh, minutes));
  }

  /** Until the cell is at its limit; for ever where it is late, or charger or load stop before. */
  private double minutes(int cell, RuleInput input, boolean isHigh) {
    double mv = input.confirmedCells().orElseThrow().mv(cell);
    double rate = input.cellRate(cell).orElseThrow();
    double limit = limit(isHigh);
    if (isHigh ? mv >= limit : mv <= limit) {
      return 0;
    }
    boolean isFast = (isHigh ? rate : -rate) > leastRate;
    double minutes = isFast ? knee.minutesTo(cell, mv, limit, input) : NEVER;
    if (minutes >= overMinutes) {
      return NEVER;
    }
    boolean stopsFirst = isHigh ? chargerStopsFirst(cell, input) : loadStop.comesBefore(limit, mv);
    return stopsFirst ? NEVER : minutes;
  }

  private double limit(boolean isHigh) {
    return isHigh ? highMv : lowMv;
  }

  /**
   * True when the sum of cells is at the charge voltage before the cell is at its limit. One
   * current flows through all, and along the knee's curve all slopes grow alike: while this cell
   * goes its way, another goes as much of it as it is slower.
   */
  private boolean chargerStopsFirst(int first, RuleInput input) {
    CellVoltages cells = input.confirmedCells().orElseThrow();
    double wayMv = limit(true) - cells.mv(first);
    double rate = input.cellRate(first).orElseThrow();
    double sum = 0;
    for (int cell = 1; cell <= cells.count(); cell++) {
      OptionalDouble other = input.cellRate(cell);
      if (!cells.has(cell) || other.isEmpty()) {
        return false;
      }
      sum += cells.mv(cell) + Math.max(0, other.getAsDouble()) / rate * Math.max(0, wayMv);
    }
    return sum >= chargeMv - SUM_ERROR_MV * cells.count();
  }

  @Override
  public void state(State io) {
    loadStop.state(io);
  }

  private static String moving(double mvPerMin) {
    long size = Math.round(Math.abs(mvPerMin));
    String way = mvPerMin > 0 ? " and rising " : " and falling ";
    return size == 0 ? "" : way + size + " mV a minute";
  }

  private Words words(int cell, RuleInput input, boolean isHigh, double minutes) {
    double mv = input.confirmedCells().orElseThrow().mv(cell);
    double rate = input.cellRate(cell).orElseThrow();
    return Words.ahead(
        "Cell " + cell + " at " + Spoken.volts(mv) + moving(rate),
        knee.ahead(mv, limit(isHigh), minutes, isHigh),
        isHigh
            ? "Lower the charge current or voltage."
            : "Reduce or disconnect the load, or charge the pack.",
        Facts.of()
            .put("cell_mv", mv, 1)
            .put("rate_mv_per_min", rate, 1)
            .put("limit_mv", limit(isHigh), 0)
            .put("minutes", minutes, 1)
            .build());
  }
}
