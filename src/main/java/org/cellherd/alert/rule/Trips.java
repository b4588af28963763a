package org.cellherd.alert.rule;

import java.util.OptionalInt;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.analysis.StateMismatch;
import org.cellherd.analysis.StateReader;
import org.cellherd.analysis.StateWriter;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Counts how often the charge was cut off at the top by the board. The charge switch tells it where
 * the board reports one; else a charging current that is gone from one reading to the next, with a
 * cell near the board's trip level.
 */
final class Trips {
  private static final int KEPT = 16;
  private static final long MOST_STEP_MS = 30_000;

  private final RuleSettings set;
  private final int fullMv;
  private final long[] agesMs = new long[KEPT];
  private long kept;
  private int count;
  private int cell;
  private long firstMs;
  private int beforeFlow;
  private int beforeCell;
  private int beforeHighest;
  private int beforeSwitch = -1;
  private long beforeAgeMs;

  Trips(PackPlan plan, AlertSettings settings) {
    this.set = settings.rule(RuleId.BOUNCE);
    this.fullMv = plan.limits().kneeMv();
  }

  void take(Scene scene) {
    CellVoltages cells = scene.cells().orElse(CellVoltages.NONE);
    Reading reading = scene.fresh().orElseThrow();
    int highest = cells.highestCell();
    int flow = scene.flowingMa().orElse(0);
    OptionalInt chargeSwitch = reading.chargeSwitch();
    boolean isNear = scene.ageMs() - beforeAgeMs <= MOST_STEP_MS;
    if (isNear && isTrip(flow, chargeSwitch)) {
      add(scene);
    }
    beforeFlow = flow;
    beforeCell = highest;
    beforeHighest = highest == 0 ? 0 : cells.tenthMv(highest) / 10;
    beforeSwitch = chargeSwitch.orElse(-1);
    beforeAgeMs = scene.ageMs();
  }

  private boolean isTrip(int flow, OptionalInt chargeSwitch) {
    if (beforeHighest < fullMv) {
      return false;
    }
    if (chargeSwitch.isPresent() && beforeSwitch >= 0) {
      return beforeSwitch == 1 && chargeSwitch.getAsInt() == 0;
    }
    return beforeFlow > 0 && flow <= 0 && beforeHighest >= set.number("trip_mv");
  }

  private void add(Scene scene) {
    if (count == 0 || scene.ageMs() - newestMs() > apartMs()) {
      count = 0;
      firstMs = scene.timeMs();
    }
    agesMs[(int) (kept % KEPT)] = scene.ageMs();
    kept++;
    count++;
    cell = beforeCell;
  }

  /** Trips nearer than this are one charge, ms. */
  long apartMs() {
    return set.ms("apart_h");
  }

  private long newestMs() {
    return kept == 0 ? Long.MIN_VALUE / 2 : agesMs[(int) ((kept - 1) % KEPT)];
  }

  /** So many trips of this charge. */
  int count() {
    return count;
  }

  /** The cell that was highest at the latest one. */
  int cell() {
    return cell;
  }

  /** Wall time of the first, ms UTC. */
  long firstMs() {
    return firstMs;
  }

  /** Mean time between the latest trips of this charge, ms; 0 below two. */
  long periodMs() {
    int n = (int) Math.min(Math.min(count, kept), KEPT);
    return n < 2 ? 0 : (newestMs() - agesMs[(int) ((kept - n) % KEPT)]) / (n - 1);
  }

  /** True from the moment that enough trips lie within the window. */
  boolean isDense(long ageMs) {
    int needed = (int) Math.min(KEPT, set.number("trips_count"));
    return count >= needed
        && kept >= needed
        && ageMs - agesMs[(int) ((kept - needed) % KEPT)] <= set.ms("window_min");
  }

  /** True while the latest trip is of the charge that goes on. */
  boolean isOpen(long ageMs) {
    return ageMs - newestMs() <= apartMs();
  }

  /** True when this charge is being stopped again and again. */
  boolean isBouncing(long ageMs) {
    return isOpen(ageMs) && count >= set.number("trips_count");
  }

  void save(StateWriter out) {
    out.putLongs(agesMs).putLong(kept).putLong(count).putLong(cell).putLong(firstMs);
    out.putLong(beforeFlow).putLong(beforeCell).putLong(beforeHighest).putLong(beforeSwitch);
    out.putLong(beforeAgeMs);
  }

  void restore(StateReader in) {
    long[] saved = in.getLongs();
    if (saved.length != KEPT) {
      throw new StateMismatch("trips of another size");
    }
    System.arraycopy(saved, 0, agesMs, 0, KEPT);
    kept = in.getLong();
    count = in.getInt();
    cell = in.getInt();
    firstMs = in.getLong();
    beforeFlow = in.getInt();
    beforeCell = in.getInt();
    beforeHighest = in.getInt();
    beforeSwitch = in.getInt();
    beforeAgeMs = in.getLong();
  }
}
