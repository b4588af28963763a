package org.cellherd.alert.rule;

import java.util.Arrays;
import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * The charge ends at another voltage than it used to. A charge counts when the pack was held within
 * 5 mV a cell of its highest voltage for ten minutes; the habit is the median of the charges
 * before, and a new voltage becomes the habit in time. A charge that the board ends again and again
 * for one cell says nothing of the charger. Too low counts from the second time on: a weak sun may
 * hold a pack below its charger's voltage once.
 */
final class ChargeVoltage implements Rule {
  private static final int KEPT = 8;
  private static final long HELD_MS = 600_000;
  private static final long OVER_MS = 1_800_000;
  private static final int BAND_TENTH_MV = 50;

  private final Terms terms;
  private final int series;
  private final int needed;
  private final double limitMv;
  private final long[] ends = new long[KEPT];
  private long count;
  private long highest;
  private long heldMs;
  private long topAgeMs;
  private long beforeAgeMs;
  private double habitMv = Double.NaN;
  private double endMv = Double.NaN;
  private double endBeforeMv = Double.NaN;

  ChargeVoltage(PackPlan plan, RuleSettings set) {
    terms = Terms.plain(set, "mV");
    series = plan.series();
    needed = (int) Math.min(KEPT, set.number("habit_count"));
    limitMv = set.number("limit_mv");
  }

  @Override
  public Terms terms() {
    return terms;
  }

  @Override
  public void judge(Scene scene, Verdicts out) {
    CellVoltages cells = scene.cells().orElse(CellVoltages.NONE);
    if (!cells.isComplete()) {
      return;
    }
    watch(cells.sumTenthMv().orElseThrow(), scene);
    if (Double.isNaN(habitMv)) {
      return;
    }
    double apart = (endMv - habitMv) / series;
    double apartBefore = (endBeforeMv - habitMv) / series;
    boolean isOther = apart > limitMv || (apart < -limitMv && apartBefore < -limitMv);
    out.judge(0, new Judgement(isOther ? 1 : 0, !isOther, endMv, habitMv, this::words));
  }

  private void watch(long sum, Scene scene) {
    long step = Math.min(60_000, scene.ageMs() - beforeAgeMs);
    beforeAgeMs = scene.ageMs();
    if (scene.view().bounce().isPresent()) {
      highest = 0;
      heldMs = 0;
    } else if (scene.isAtTop()) {
      topAgeMs = scene.ageMs();
      long band = (long) BAND_TENTH_MV * series;
      if (sum > highest + band) {
        heldMs = 0;
      }
      highest = Math.max(highest, sum);
      heldMs += sum >= highest - band ? step : 0;
    } else if (highest > 0 && scene.ageMs() - topAgeMs > OVER_MS) {
      if (heldMs >= HELD_MS) {
        ended(highest);
      }
      highest = 0;
      heldMs = 0;
    }
  }

  private void ended(long sum) {
    endBeforeMv = endMv;
    endMv = sum / 10.0;
    if (count >= needed) {
      int n = (int) Math.min(count, KEPT);
      long[] sorted = Arrays.copyOf(ends, n);
      Arrays.sort(sorted);
      habitMv = sorted[n / 2] / 10.0;
    }
    ends[(int) (count % KEPT)] = sum;
    count++;
  }

  private Words words() {
    return Words.of(
        "The last charge ended at "
            + Spoken.packVolts(endMv)
            + ", the habit is "
            + Spoken.packVolts(habitMv),
        "Look at the charger's settings and at the charge cable.",
        Facts.of().put("end_mv", endMv, 0).put("habit_mv", habitMv, 0).build());
  }

  @Override
  public void save(StateWriter out) {
    out.putLongs(ends).putLong(count).putLong(highest).putLong(heldMs).putLong(topAgeMs);
    out.putLong(beforeAgeMs).putDouble(habitMv).putDouble(endMv).putDouble(endBeforeMv);
  }

  @Override
  public void restore(StateReader in) {
    long[] saved = in.getLongs();
    if (saved.length != KEPT) {
      throw new StateMismatch("charge ends of another size");
    }
    System.arraycopy(saved, 0, ends, 0, KEPT);
    count = in.getLong();
    highest = in.getLong();
    heldMs = in.getLong();
    topAgeMs = in.getLong();
    beforeAgeMs = in.getLong();
    habitMv = in.getDouble();
    endMv = in.getDouble();
    endBeforeMv = in.getDouble();
  }
}
