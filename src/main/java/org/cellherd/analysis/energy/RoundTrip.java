package org.cellherd.analysis.energy;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.OptionalDouble;
import org.cellherd.analysis.flow.Tally;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.state.State;

/**
 * Energy out over energy in, from one full pack to the next so that what is stored is the same at
 * both ends; over the last 30 days. Belongs to one thread.
 */
final class RoundTrip {
  private static final int KEPT = 40;
  private static final long DAYS_30_MS = 30L * 86_400_000;

  private final double leastAh;
  private final double leastWh;
  private final Deque<Trip> trips = new ArrayDeque<>();
  private final Tally sinceTop = new Tally();
  private boolean hasTop;
  private boolean isWhole;

  /**
   * From one top to the next.
   *
   * @param upMs its end, fold time
   */
  private record Trip(long upMs, double chargedWh, double dischargedWh) {
    private static final Trip NONE = new Trip(0, 0, 0);

    private Trip state(State io) {
      return new Trip(io.number(upMs), io.number(chargedWh), io.number(dischargedWh));
    }
  }

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
      trips.addLast(new Trip(upMs, sinceTop.chargedWh(), sinceTop.dischargedWh()));
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
    for (Trip trip : trips) {
      if (nowUpMs - trip.upMs() <= DAYS_30_MS) {
        in += trip.chargedWh();
        out += trip.dischargedWh();
      }
    }
    return in > 0 && out >= leastWh ? OptionalDouble.of(100 * out / in) : OptionalDouble.empty();
  }

  void state(State io) {
    io.list(trips, KEPT, Trip.NONE, Trip::state);
    sinceTop.state(io);
    hasTop = io.flag(hasTop);
    isWhole = io.flag(isWhole);
  }
}
