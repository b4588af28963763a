package org.cellherd.alert.rule;

import java.util.Arrays;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Ring;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * The charge ends at another voltage than it used to. A charge counts when its charger regulated:
 * the pack was held within 5 mV a cell of its highest voltage for ten minutes while the current
 * fell by half and by 0.05C or more. A weak sun cannot look like that: a current that falls so far
 * by itself takes a cell down by 5 to 10 mV (100 to 200 mV a C over minutes, common practice, no
 * source). The habit is the range of the charges before without the highest and the lowest, so that
 * one odd charge does not widen it, and a new voltage becomes the habit in time. A charge that the
 * board ends again and again for one cell says nothing of the charger. Too low counts from the
 * second time on: a cloud may end a charge early once.
 */
final class ChargeVoltage extends Rule {
  static final RuleId ID = new RuleId("charge-voltage");

  static final Rule.Kind KIND =
      Rule.Kind.ofPlan(
          ID,
          "the charge ends at another voltage than usual.",
          ChargeVoltage::defaults,
          ChargeVoltage::new);

  private static final int KEPT = 8;
  private static final long HELD_MS = 600_000;
  private static final long OVER_MS = 1_800_000;
  private static final int BAND_TENTH_MV = 50;
  private static final double LEAST_FALL_C = 0.05;

  private final int series;
  private final int needed;
  private final double leastFallMa;
  private final double limitMv;
  private final long[] ends = new long[KEPT];
  private final Ring charges = new Ring(KEPT);
  private long highest;
  private long heldMs;
  private long topAgeMs;
  private long beforeAgeMs;
  private int mostMa;
  private int leastMa;
  private double habitLowMv = Double.NaN;
  private double habitHighMv = Double.NaN;
  private double endMv = Double.NaN;
  private double endBeforeMv = Double.NaN;

  /** All from common practice, no source. */
  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING)
        .number("limit_mv", 20, 2, 500, "a cell's share differs from the habit by more")
        .number("habit_count", 5, 3, 8, "so many charges make a habit")
        .delays(0, 0)
        .repeatedAfter(0);
  }

  ChargeVoltage(PackPlan plan, RuleSettings set) {
    super(Terms.plain(set, "mV"));
    series = plan.series();
    needed = (int) Math.min(KEPT, set.number("habit_count"));
    leastFallMa = LEAST_FALL_C * plan.ratedMah();
    limitMv = set.number("limit_mv");
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    CellVoltages cells = input.cells().orElse(CellVoltages.NONE);
    if (!cells.isComplete()) {
      return;
    }
    watch(cells.sumTenthMv().orElseThrow(), input);
    if (Double.isNaN(habitLowMv)) {
      return;
    }
    boolean isHigh = (endMv - habitHighMv) / series > limitMv;
    boolean isLow = isLow(endMv) && isLow(endBeforeMv);
    boolean isOther = isHigh || isLow;
    double habit = isLow ? habitLowMv : habitHighMv;
    out.judge(0, new Judgement(isOther ? 1 : 0, !isOther, endMv, habit, this::words));
  }

  private boolean isLow(double mv) {
    return (habitLowMv - mv) / series > limitMv;
  }

  private void watch(long sum, RuleInput input) {
    long step = Math.min(60_000, input.ageMs() - beforeAgeMs);
    beforeAgeMs = input.ageMs();
    if (input.view().bounce().isPresent()) {
      highest = 0;
      release();
    } else if (input.isAtTop()) {
      topAgeMs = input.ageMs();
      hold(sum, step, input.flowingMa().orElse(0));
    } else if (highest > 0 && input.ageMs() - topAgeMs > OVER_MS) {
      if (heldMs >= HELD_MS && isRegulated()) {
        ended(highest);
      }
      highest = 0;
      release();
    }
  }

  private void hold(long sum, long step, int ma) {
    long band = (long) BAND_TENTH_MV * series;
    if (sum > highest + band) {
      release();
    }
    highest = Math.max(highest, sum);
    if (sum >= highest - band) {
      heldMs += step;
      mostMa = Math.max(mostMa, ma);
      leastMa = Math.min(leastMa, Math.max(0, ma));
    }
  }

  private void release() {
    heldMs = 0;
    mostMa = 0;
    leastMa = Integer.MAX_VALUE;
  }

  private boolean isRegulated() {
    return leastMa <= mostMa / 2 && mostMa - leastMa >= leastFallMa;
  }

  private void ended(long sum) {
    endBeforeMv = endMv;
    endMv = sum / 10.0;
    int n = charges.size();
    if (n >= needed) {
      long[] sorted = Arrays.copyOf(ends, n);
      Arrays.sort(sorted);
      habitLowMv = sorted[1] / 10.0;
      habitHighMv = sorted[n - 2] / 10.0;
    }
    ends[charges.next()] = sum;
  }

  private Words words() {
    String low = Spoken.packVolts(habitLowMv);
    String high = Spoken.packVolts(habitHighMv);
    long habit = Math.min(KEPT, charges.count() - 1);
    return Words.of(
        "The last charge that its charger ended was held at "
            + Spoken.packVolts(endMv)
            + ", the "
            + habit
            + " before usually at "
            + (low.equals(high) ? low : low + " to " + high),
        "Look at the charger's settings and at the charge cable.",
        Facts.of()
            .put("end_mv", endMv, 0)
            .putLow("habit_low_mv", habitLowMv, 0)
            .putHigh("habit_high_mv", habitHighMv, 0)
            .put("habit_charges", habit)
            .build());
  }

  @Override
  public void state(State io) {
    io.each(ends);
    charges.state(io);
    highest = io.number(highest);
    heldMs = io.number(heldMs);
    topAgeMs = io.number(topAgeMs);
    beforeAgeMs = io.number(beforeAgeMs);
    habitLowMv = io.number(habitLowMv);
    habitHighMv = io.number(habitHighMv);
    endMv = io.number(endMv);
    endBeforeMv = io.number(endBeforeMv);
    mostMa = io.number(mostMa);
    leastMa = io.number(leastMa);
  }
}
