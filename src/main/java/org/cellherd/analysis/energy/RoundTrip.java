package org.cellherd.analysis.energy;

import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.Deque;
import java.util.OptionalDouble;
import org.cellherd.analysis.flow.Amounts;
import org.cellherd.analysis.flow.Tally;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;

/**
 * Energy out over energy in, from one full pack to the next so that what is stored is the same at
 * both ends; over the last 30 days. Belongs to one thread.
 */
final class RoundTrip {
  private static final int KEPT = 40;
  private static final int FIELDS = 3;
  private static final long DAYS_30_MS = 30L * 86_400_000;

  private final double leastAh;
  private final double leastWh;
  private final Deque<double[]> trips = new ArrayDeque<>();
  private final Tally sinceTop = new Tally();
  private boolean hasTop;
  private boolean isWhole;

  /**
   * Nothing known yet.
   *
   * @param leastAh trips that drew less are left out
   * @param leastWh trips that drew less together tell nothing: no two tops are quite alike
   */
  RoundTrip(double leastAh, double leastWh) {
    this.leastAh = leastAh;
    this.leastWh = leastWh;
  }

  void add(Amounts step) {
    sinceTop.add(step);
  }

  /** Something may have flowed unheard: the trip under way does not count. */
  void breakOff() {
    isWhole = false;
  }

  /** The pack has become full at this fold time, by the tail current as at every other top. */
  void top(long upMs) {
    if (hasTop && isWhole && sinceTop.dischargedAh() >= leastAh) {
      trips.addLast(new double[] {upMs, sinceTop.chargedWh(), sinceTop.dischargedWh()});
      if (trips.size() > KEPT) {
        trips.removeFirst();
      }
    }
    hasTop = true;
    isWhole = true;
    sinceTop.clear();
  }

  /** Energy out over energy in, percent; empty without enough of it in the last 30 days. */
  OptionalDouble pct(long nowUpMs) {
    double in = 0;
    double out = 0;
    for (double[] trip : trips) {
      if (nowUpMs - trip[0] <= DAYS_30_MS) {
        in += trip[1];
        out += trip[2];
      }
    }
    return in > 0 && out >= leastWh ? OptionalDouble.of(100 * out / in) : OptionalDouble.empty();
  }

  void save(StateWriter out) {
    out.putDoubles(trips.stream().flatMapToDouble(Arrays::stream).toArray());
    sinceTop.save(out);
    out.putBoolean(hasTop).putBoolean(isWhole);
  }

  void restore(StateReader in) {
    double[] flat = in.getDoubles();
    if (flat.length % FIELDS != 0 || flat.length > KEPT * FIELDS) {
      throw new StateMismatch(flat.length + " numbers of round trips");
    }
    trips.clear();
    for (int i = 0; i < flat.length; i += FIELDS) {
      trips.add(new double[] {flat[i], flat[i + 1], flat[i + 2]});
    }
    sinceTop.restore(in);
    hasTop = in.getBoolean();
    isWhole = in.getBoolean();
  }
}
