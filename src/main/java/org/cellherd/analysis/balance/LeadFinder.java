package org.cellherd.analysis.balance;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;
import org.jspecify.annotations.Nullable;

/**
 * Lead of each cell over the last one, in Ah. Two sources, weighed by their errors:
 *
 * <ul>
 *   <li>crossings: the charge counted between the crossings of one level by two cells, corrected
 *       for unequal current at the two instants and for what each has more resistance than the
 *       usual one, less what was bled from them since;
 *   <li>the knee's own slope: the distance of two voltages at the top while little or no current
 *       flows, turned into Ah by what this pack's cells took between the levels.
 * </ul>
 *
 * A cell that crossed nothing gives lower bounds for the others. Threshold crossing needs no
 * open-circuit curve; the method is common practice.
 */
final class LeadFinder {
  private static final double MS_PER_H = 3_600_000;

  /** Electrode surfaces run ahead of the bulk by minutes of current; from memory, within all. */
  private static final double LAG_H = 150 / 3600.0;

  /** How far a crossing may be off: the board's own error and some noise. */
  private static final double ERROR_MV = 1.3 * AnalysisSettings.BOARD_FLOOR_MV;

  /** A cell's own excess of resistance is seen through two readings a start of current. */
  private static final double OWN_ERROR = 0.35;

  /** Of a cell's resistance, so much comes only as a current goes on. */
  private static final double SLOW_SHARE = 0.4;

  /** A board's current at rest is off by C/300, 0.2 A at most (common practice, no source). */
  private static final double OFFSET_H = 300;

  private static final double MOST_OFFSET_A = 0.2;

  /** A shunt and its amplifier together (common practice, no source). */
  private static final double GAIN_ERROR = 0.02;

  /** Of a held charge that the board prints as 0, so much of the bleed flows into the others. */
  private static final double HELD_SHARE = 0.7;

  /** What a cell's voltage falls by at rest without losing charge comes within a day. */
  private static final double RELAXED_H = 24;

  private final Crossings crossings;
  private final KneeMap map;
  private final BleedTimes bleedTimes;
  private final PathResistance path;
  private final double ratedAh;
  private final int cells;
  private final int plateauMv;

  LeadFinder(
      Crossings crossings, KneeMap map, BleedTimes bleedTimes, PathResistance path, Scale scale) {
    this.crossings = crossings;
    this.map = map;
    this.bleedTimes = bleedTimes;
    this.path = path;
    this.ratedAh = scale.ratedAh();
    this.cells = scale.cells();
    this.plateauMv = scale.plateauMv();
  }

  /** Size of the pack, and where its plateau ends at rest. */
  record Scale(int cells, double ratedAh, int plateauMv) {}

  /**
   * The crossing of a level by a cell; null when there was none, or when the most resistance that
   * the cell may have would put it back on the plateau.
   */
  private @Nullable Crossing crossing(int cell, int level) {
    Crossing c = crossings.get(cell, level);
    if (c == null) {
      return null;
    }
    double lift = Math.max(0, c.amperes()) * path.mostOhm(cell) * 1000;
    return crossings.levelMv(level) - lift >= plateauMv ? c : null;
  }

  private boolean hasAny(int cell) {
    for (int level = 0; level < crossings.levels(); level++) {
      if (crossing(cell, level) != null) {
        return true;
      }
    }
    return false;
  }

  private boolean isEmpty() {
    for (int cell = 0; cell < cells; cell++) {
      if (hasAny(cell)) {
        return false;
      }
    }
    return true;
  }

  /** The lowest level that any cell has crossed; the highest of all while none was. */
  private int lowestCrossedMv() {
    for (int level = 0; level < crossings.levels(); level++) {
      for (int cell = 0; cell < cells; cell++) {
        if (crossing(cell, level) != null) {
          return crossings.levelMv(level);
        }
      }
    }
    return crossings.levelMv(crossings.levels() - 1);
  }

  /** Lead of cell k over cell r, by index, from the crossings; null when they share no level. */
  @Nullable Estimate byCrossing(int k, int r, Top top) {
    Estimate best = null;
    for (int level = 0; level < crossings.levels(); level++) {
      Crossing a = crossing(k, level);
      Crossing b = crossing(r, level);
      double slope = slope(level, a, b);
      if (a == null || b == null || slope <= 0) {
        continue;
      }
      Estimate found =
          between(a, b, slope, top)
              .minus(own(k, a, r, b, slope))
              .minus(bled(k, a, top))
              .minus(gained(r, b, top))
              .minus(leaked(a, b, top));
      best = best == null || found.half() < best.half() ? found : best;
    }
    return best;
  }

  private Estimate between(Crossing a, Crossing b, double slope, Top top) {
    double drop = a.amperes() - b.amperes();
    double mid = b.countAh() - a.countAh() - drop * (path.ohm() * 1000 / slope + LAG_H);
    double half = Math.sqrt(2) * ERROR_MV / flattest(a, b, slope);
    half += Math.abs(drop) * (path.halfOhm() * 1000 / slope + LAG_H);
    half += unsettled(a, slope) + unsettled(b, slope);
    double slow = SLOW_SHARE * path.ohm() * 1000 / slope + LAG_H;
    double young = (a.youth() * a.amperes() - b.youth() * b.amperes()) * slow;
    mid += young;
    half += Math.abs(young) * 0.6;
    double heldH = Math.abs(b.heldMs() - a.heldMs()) / MS_PER_H;
    double hidden = Math.min(top.bleed().mid(), top.deadZoneA()) * heldH * HELD_SHARE;
    double lost = b.lostAh() - a.lostAh();
    mid += (b.heldMs() >= a.heldMs() ? hidden : -hidden) + lost / 2;
    return new Estimate(mid, Math.hypot(half + hidden / 2 + Math.abs(lost) / 2, counted(a, b)));
  }

  /**
   * What the current's offset and gain, and its changes between readings, make of the charge that
   * was counted between two crossings.
   */
  private double counted(Crossing a, Crossing b) {
    double hours = Math.abs(b.upMs() - a.upMs()) / MS_PER_H;
    double offset = Math.min(MOST_OFFSET_A, ratedAh / OFFSET_H);
    double sampling = 2 * Math.sqrt(Math.abs(b.samplingSquared() - a.samplingSquared()));
    double steady = Math.hypot(offset * hours, GAIN_ERROR * (b.countAh() - a.countAh()));
    return Math.hypot(steady, sampling);
  }

  /** What the two cells' own resistances made of their crossings. */
  private Estimate own(int k, Crossing a, int r, Crossing b, double slope) {
    double volts = a.amperes() * path.beyondOhm(k) - b.amperes() * path.beyondOhm(r);
    double ah = volts * 1000 / slope;
    double most = Math.max(Math.abs(a.amperes()), Math.abs(b.amperes()));
    double unseen = Math.hypot(path.unseenOhm(k), path.unseenOhm(r)) * most * 1000 / slope;
    return new Estimate(ah, OWN_ERROR * Math.abs(ah) + unseen);
  }

  /** Where a cell's own slope was far below the usual one, the crossing is vague. */
  private static double flattest(Crossing a, Crossing b, double slope) {
    double least = slope;
    least = a.slope() > 0 ? Math.min(least, a.slope()) : least;
    return b.slope() > 0 ? Math.min(least, b.slope()) : least;
  }

  private double unsettled(Crossing c, double slope) {
    return c.isSettled() ? 0 : Math.abs(c.amperes()) * (path.ohm() * 400 / slope + LAG_H);
  }

  private double slope(int level, @Nullable Crossing a, @Nullable Crossing b) {
    double known = map.slopeAround(level);
    if (known > 0) {
      return known;
    }
    double sa = a == null ? 0 : a.slope();
    double sb = b == null ? 0 : b.slope();
    return sa > 0 && sb > 0 ? (sa + sb) / 2 : Math.max(sa, sb);
  }

  private Estimate bled(int cell, Crossing since, Top top) {
    double hours = (bleedTimes.bledMs(cell) - since.bleedMs()) / MS_PER_H;
    return new Estimate(top.bleed().mid() * hours, top.bleed().half() * hours);
  }

  /** What either cell may have leaked unseen since it crossed: a standing one sinks unseen, too. */
  private static Estimate leaked(Crossing a, Crossing b, Top top) {
    double hours = Math.max(0, top.upMs() - Math.min(a.upMs(), b.upMs())) / MS_PER_H;
    return new Estimate(0, LeadTable.HIDDEN_LEAK_A * hours);
  }

  /** What the last cell lost widens the lead. */
  private Estimate gained(int cell, Crossing since, Top top) {
    Estimate bled = bled(cell, since, top);
    return new Estimate(-bled.mid(), bled.half());
  }

  /** Lead of cell k over a cell r that has crossed no level that k has: at least this. */
  @Nullable Estimate atLeast(int k, int r, Top top) {
    Estimate best = null;
    for (int level = 0; level < crossings.levels(); level++) {
      Crossing a = crossing(k, level);
      double slope = slope(level, a, null);
      if (a == null || slope <= 0) {
        continue;
      }
      Crossing now =
          new Crossing(
              top.upMs(),
              top.countAh(),
              a.amperes(),
              0,
              true,
              a.youth(),
              0,
              top.heldMs(),
              0,
              top.samplingSquared());
      Estimate found =
          between(a, now, slope, top)
              .minus(own(k, a, r, now, slope))
              .minus(bled(k, a, top))
              .minus(leaked(a, now, top));
      best = best == null || found.mid() - found.half() > best.mid() - best.half() ? found : best;
    }
    return best;
  }

  /** Leads by crossings alone, over the last cell; empty before any cell crossed a level. */
  List<Lead> leads(double[] mv, Top top) {
    int open = lowestUncrossed(mv, top);
    if (isEmpty()) {
      return List.of();
    }
    return open >= 0 ? bounds(open, top) : over(lastByCrossing(top), top);
  }

  /** A cell that began above all levels crossed none either, but is ahead, not behind. */
  private int lowestUncrossed(double[] mv, Top top) {
    int open = -1;
    int level = lowestCrossedMv();
    for (int i = 0; i < cells; i++) {
      boolean isBelow = mv[i] < level && (!hasAny(i) || hasFallen(i, mv, top.upMs()));
      if (isBelow && (open < 0 || mv[i] < mv[open])) {
        open = i;
      }
    }
    return open;
  }

  /**
   * True for a cell that came to its knee and has left it since, while the pack stands at the top:
   * it falls by what no plateau shows. Cells that relax do so within a day. Without a plateau all
   * may fall below the levels, and one has fallen for sure while another is above.
   */
  boolean hasFallen(int cell, double[] mv, long nowUpMs) {
    long latest = -1;
    for (int level = 0; level < crossings.levels(); level++) {
      Crossing c = crossing(cell, level);
      latest = c == null ? latest : Math.max(latest, c.upMs());
    }
    if (latest < 0 || nowUpMs - latest <= RELAXED_H * MS_PER_H) {
      return false;
    }
    int level = lowestCrossedMv();
    boolean isAnyAbove = Arrays.stream(mv).anyMatch(v -> v >= level);
    return mv[cell] < plateauMv || (mv[cell] < level && isAnyAbove);
  }

  private List<Lead> bounds(int open, Top top) {
    List<Lead> leads = new ArrayList<>();
    for (int k = 0; k < cells; k++) {
      Estimate least = hasAny(k) ? atLeast(k, open, top) : null;
      leads.add(new Lead(k + 1, k == open ? Interval.exactly(0) : bound(least)));
    }
    return leads;
  }

  /** Two cells on the plateau: either may be behind, by all that a plateau hides. */
  private Interval bound(@Nullable Estimate least) {
    return least == null
        ? new Interval(-blindAh(), 0, blindAh())
        : new Interval(least.mid() - least.half(), least.mid(), least.mid() + blindAh());
  }

  /** A cell that is still on its plateau may be empty. */
  private double blindAh() {
    return ratedAh;
  }

  private List<Lead> over(int last, Top top) {
    List<Lead> leads = new ArrayList<>();
    for (int k = 0; k < cells; k++) {
      Estimate found = k == last ? new Estimate(0, 0) : byCrossing(k, last, top);
      if (found != null) {
        leads.add(new Lead(k + 1, found.interval()));
      }
    }
    // The last cell alone leads nobody.
    return leads.size() > 1 || cells == 1 ? leads : List.of();
  }

  private int lastByCrossing(Top top) {
    int base = 0;
    while (!hasAny(base)) {
      base++;
    }
    int last = base;
    double most = 0;
    for (int r = base + 1; r < cells; r++) {
      Estimate over = byCrossing(base, r, top);
      if (over != null && over.mid() > most) {
        most = over.mid();
        last = r;
      }
    }
    return last;
  }

  /**
   * Leads at the top while little flows: by the knee where it is known at the lowest cell, by
   * crossings where these are narrower.
   *
   * @param mv voltages free of bleeding, mV
   * @param amperes current now, A
   */
  List<Lead> leadsAtTop(double[] mv, double amperes, Top top) {
    return leadsOfAlike(withoutOwnDrop(mv, amperes), amperes, top);
  }

  private double[] withoutOwnDrop(double[] mv, double amperes) {
    double[] alike = new double[cells];
    for (int i = 0; i < cells; i++) {
      alike[i] = mv[i] - amperes * path.beyondOhm(i) * 1000;
    }
    return alike;
  }

  private List<Lead> leadsOfAlike(double[] mv, double amperes, Top top) {
    int last = 0;
    for (int i = 1; i < cells; i++) {
      last = mv[i] < mv[last] ? i : last;
    }
    double shift = amperes * path.ohm() * 1000;
    if (!map.covers(mv[last] - shift, path.ohm() * 1000)) {
      return leads(mv, top);
    }
    List<Lead> leads = new ArrayList<>();
    for (int k = 0; k < cells; k++) {
      leads.add(new Lead(k + 1, k == last ? Interval.exactly(0) : best(k, last, mv, amperes, top)));
    }
    return leads;
  }

  private Interval best(int k, int last, double[] mv, double amperes, Top top) {
    Estimate knee = byKnee(mv[k], mv[last], amperes);
    Estimate crossed = byCrossing(k, last, top);
    if (knee == null) {
      return (crossed == null ? new Estimate(0, blindAh()) : crossed).interval();
    }
    return (crossed == null ? knee : knee.with(crossed)).interval();
  }

  /** Lead by the distance of two voltages in the known part of the knee; else null. */
  @Nullable Estimate byKnee(double upperMv, double lowerMv, double amperes) {
    double shift = amperes * path.ohm() * 1000;
    double error = ERROR_MV + Math.abs(amperes) * path.halfOhm() * 1000;
    return map.leadAh(upperMv - shift, lowerMv - shift, path.estimate(), error);
  }
}
