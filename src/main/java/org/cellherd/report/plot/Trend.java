package org.cellherd.report.plot;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import org.cellherd.analysis.Interval;

/**
 * One quantity, known now and then, each time within bounds.
 *
 * @param number of the cell, or of the rate, from 1: it has the colour
 * @param name at the end of its line
 * @param isNamed whether it stands out; the others are grey
 * @param points in the order of time
 */
record Trend(int number, String name, boolean isNamed, List<Point> points) {

  /** Up to so many have a colour of their own. */
  static final int FEW = 7;

  /**
   * Known at a time, ms UTC.
   *
   * @param value bounds may be open
   */
  record Point(long atMs, Interval value) {}

  Trend {
    points = List.copyOf(points);
  }

  /** The newest; empty without points. */
  Optional<Point> newest() {
    return points.stream().max(Comparator.comparingLong(Point::atMs));
  }

  /** The best value of the newest; 0 without points. */
  double end() {
    return newest().map(p -> p.value().mid()).orElse(0.0);
  }

  /** True where the newest bounds leave out a value. */
  boolean isSurelyOff(double value) {
    return newest().filter(p -> !p.value().holds(value)).isPresent();
  }

  /** Among few all have a colour and a name; among many only the furthest of those named here. */
  static List<Trend> standOut(List<Trend> all, Predicate<Trend> isRemarkable) {
    if (all.size() <= FEW) {
      return all;
    }
    double middle = middle(all);
    List<Trend> named =
        all.stream()
            .filter(isRemarkable)
            .sorted(Comparator.comparingDouble((Trend t) -> -Math.abs(t.end() - middle)))
            .limit(FEW)
            .toList();
    return all.stream().map(t -> new Trend(t.number, t.name, named.contains(t), t.points)).toList();
  }

  static double middle(List<Trend> all) {
    return all.stream().mapToDouble(Trend::end).sorted().skip(all.size() / 2).findFirst().orElse(0);
  }
}
