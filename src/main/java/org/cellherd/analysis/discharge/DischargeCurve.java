package org.cellherd.analysis.discharge;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;

/**
 * A discharge as a line, in the order of charge drawn. Immutable.
 *
 * @param points under load; no more than {@link Builder} keeps
 * @param series cells in series, by which the pack's voltage is shared
 * @param limitingCell the cell that ended it, from 1; 0 when not known
 */
public record DischargeCurve(List<Point> points, int series, int limitingCell) {
  /** Refuses a curve without an end. */
  public DischargeCurve {
    points = List.copyOf(points);
    if (points.isEmpty() || series < 1) {
      throw new IllegalArgumentException(points.size() + " points of " + series + " cells");
    }
  }

  public Point end() {
    return points.get(points.size() - 1);
  }

  /**
   * The same discharge with what is known to have been drawn at its end, Ah and Wh; an energy that
   * is NaN goes with the charge.
   */
  DischargeCurve endingAt(double ah, double wh) {
    double byAh = ah / end().ah();
    double byWh = Double.isNaN(wh) ? byAh : wh / end().wh();
    List<Point> scaled =
        points.stream()
            .map(p -> new Point(p.ah() * byAh, p.wh() * byWh, p.volts(), p.cellVolts(), p.amps()))
            .toList();
    return new DischargeCurve(scaled, series, limitingCell);
  }

  /** Voltage when so much had been drawn, V of the pack; empty beyond the ends. */
  public OptionalDouble voltsAt(double ah) {
    int low = 0;
    int high = points.size() - 1;
    if (!(ah >= points.get(low).ah() && ah <= points.get(high).ah())) {
      return OptionalDouble.empty();
    }
    while (high - low > 1) {
      int middle = (low + high) >>> 1;
      if (points.get(middle).ah() <= ah) {
        low = middle;
      } else {
        high = middle;
      }
    }
    Point a = points.get(low);
    Point b = points.get(high);
    double share = b.ah() > a.ah() ? (ah - a.ah()) / (b.ah() - a.ah()) : 1;
    return OptionalDouble.of(a.volts() + share * (b.volts() - a.volts()));
  }

  /** Collects points and keeps those that a picture needs. One thread. */
  public static final class Builder {

    /** Twice what the widest picture has pixels. */
    private static final int MOST = 2_000;

    private static final double LEAST_V = 0.002;

    private List<Point> kept = new ArrayList<>();
    private Point last = new Point(0, 0, 0, 0, 0);
    private boolean isAny;
    private double stepAh;
    private double stepV;

    /**
     * Empty.
     *
     * @param ratedAh about what the whole may come to
     * @param series cells in series
     */
    public Builder(double ratedAh, int series) {
      stepAh = ratedAh / MOST;
      stepV = LEAST_V * series;
    }

    public void add(Point point) {
      boolean isFar = !isAny || isFar(kept.get(kept.size() - 1), point);
      if (isFar) {
        kept.add(point);
      }
      last = point;
      isAny = true;
      if (kept.size() > MOST) {
        thin();
      }
    }

    private boolean isFar(Point from, Point to) {
      return to.ah() - from.ah() >= stepAh || Math.abs(to.volts() - from.volts()) >= stepV;
    }

    private void thin() {
      List<Point> half = new ArrayList<>();
      for (int i = 0; i < kept.size(); i += 2) {
        half.add(kept.get(i));
      }
      kept = half;
      stepAh *= 2;
      stepV *= 2;
    }

    /** True when nothing was added. */
    public boolean isEmpty() {
      return !isAny;
    }

    /** The curve; the last point is always kept. */
    public DischargeCurve build(int series, int limitingCell) {
      List<Point> all = new ArrayList<>(kept);
      if (isAny && !all.get(all.size() - 1).equals(last)) {
        all.add(last);
      }
      return new DischargeCurve(all, series, limitingCell);
    }
  }

  /**
   * One instant of a discharge.
   *
   * @param ah drawn so far, Ah
   * @param wh drawn so far, Wh
   * @param volts the pack's
   * @param cellVolts of the cell that ended the discharge; NaN where cells are not told
   * @param amps drawn now, positive
   */
  public record Point(double ah, double wh, double volts, double cellVolts, double amps) {

    /** Power drawn now, W. */
    public double watts() {
      return volts * amps;
    }
  }
}
