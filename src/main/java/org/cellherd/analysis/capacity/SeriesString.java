package org.cellherd.analysis.capacity;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.ToDoubleFunction;
import java.util.stream.IntStream;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.CapacityResult.WeakCause;
import org.cellherd.analysis.trend.Medians;

/**
 * Cells in series, each with the Ah until it is empty and until it is full. The string gives what
 * lies between its first empty and its first full cell; were all cells full at once, it would give
 * what its smallest cell holds. What is in between, balancing brings back; what the smallest cell
 * lacks to the others, it does not.
 *
 * @param toEmpty Ah until a cell is empty, first cell first
 * @param toFull Ah until a cell is full
 */
record SeriesString(List<Interval> toEmpty, List<Interval> toFull) {

  SeriesString {
    toEmpty = List.copyOf(toEmpty);
    toFull = List.copyOf(toFull);
    if (toEmpty.isEmpty() || toEmpty.size() != toFull.size()) {
      throw new IllegalArgumentException(toEmpty.size() + " and " + toFull.size() + " cells");
    }
  }

  /** Between the first empty and the first full cell, Ah. */
  Interval usable() {
    return least(toEmpty).plus(least(toFull));
  }

  /** With all cells full at once, Ah. */
  Interval balanced() {
    return least(IntStream.range(0, toEmpty.size()).mapToObj(this::capacity).toList());
  }

  /** What balancing would bring, Ah. */
  Interval imbalanceCosts() {
    return difference(balanced(), usable());
  }

  /** The cell that is empty first, from 1. */
  int firstEmpty() {
    return first(i -> toEmpty.get(i).mid());
  }

  /** The cell that is full first, from 1. */
  int firstFull() {
    return first(i -> toFull.get(i).mid());
  }

  /** The cell that holds least, from 1. */
  int smallest() {
    return first(i -> capacity(i).mid());
  }

  /**
   * Why the cell that is empty first is: low capacity where it surely holds less than every other,
   * low charge where another surely holds less than it; else empty.
   */
  Optional<WeakCause> why(int empty) {
    List<Integer> others =
        IntStream.range(0, toEmpty.size()).filter(i -> i != empty - 1).boxed().toList();
    Interval own = capacity(empty - 1);
    double least = others.stream().mapToDouble(i -> capacity(i).low()).min().orElse(0);
    if (own.high() < least) {
      return Optional.of(WeakCause.LOW_CAPACITY);
    }
    double smallest = others.stream().mapToDouble(i -> capacity(i).high()).min().orElse(0);
    return smallest < own.low() ? Optional.of(WeakCause.LOW_CHARGE) : Optional.empty();
  }

  /** What the smallest cell holds less than the median one, Ah. */
  Interval smallestCosts() {
    return difference(
        new Interval(median(Interval::low), median(Interval::mid), median(Interval::high)),
        balanced());
  }

  private Interval capacity(int i) {
    return toEmpty.get(i).plus(toFull.get(i));
  }

  private int first(ToDoubleFunction<Integer> of) {
    return 1
        + IntStream.range(0, toEmpty.size())
            .boxed()
            .min(Comparator.comparingDouble(of))
            .orElseThrow();
  }

  private double median(ToDoubleFunction<Interval> bound) {
    return Medians.median(
        IntStream.range(0, toEmpty.size()).mapToObj(this::capacity).mapToDouble(bound).toArray());
  }

  private static Interval least(List<Interval> of) {
    return new Interval(
        of.stream().mapToDouble(Interval::low).min().orElseThrow(),
        of.stream().mapToDouble(Interval::mid).min().orElseThrow(),
        of.stream().mapToDouble(Interval::high).min().orElseThrow());
  }

  private static Interval difference(Interval a, Interval b) {
    double mid = Math.max(0, a.mid() - b.mid());
    return new Interval(Math.max(0, a.low() - b.high()), mid, Math.max(mid, a.high() - b.low()));
  }
}
