package org.cellherd.protocol.bringup;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.cellherd.protocol.bringup.Known.Quantity;

/** What a meter told, held against columns. Immutable. */
final class Meter {
  private final List<Known> known;
  private final long startMs;

  Meter(List<Known> known, long startMs) {
    this.known = List.copyOf(known);
    this.startMs = startMs;
  }

  List<Known> all(Quantity quantity) {
    return known.stream().filter(k -> k.quantity() == quantity).toList();
  }

  /** The first value of a quantity. */
  Optional<Known> of(Quantity quantity) {
    return known.stream().filter(k -> k.quantity() == quantity).findFirst();
  }

  /** The number of a column when the meter was read; the middle one of all without a time. */
  double at(Known value, Stretch kind, double[] column) {
    if (value.atSeconds().isEmpty()) {
      double[] sorted = column.clone();
      Arrays.sort(sorted);
      return sorted[sorted.length / 2];
    }
    return column[nearest(value, kind)];
  }

  /**
   * The same and the numbers beside it: the message of that time may have been lost, and what came
   * before or after it belongs to another load.
   */
  double[] near(Known value, Stretch kind, double[] column) {
    if (value.atSeconds().isEmpty()) {
      return new double[] {at(value, kind, column)};
    }
    int best = nearest(value, kind);
    int before = Math.max(0, best - 1);
    int after = Math.min(column.length - 1, best + 1);
    return new double[] {column[best], column[before], column[after]};
  }

  private int nearest(Known value, Stretch kind) {
    double ms = startMs + value.atSeconds().orElse(0) * 1000;
    int best = 0;
    for (int i = 0; i < kind.samples().size(); i++) {
      if (Math.abs(kind.samples().get(i).atMs() - ms)
          < Math.abs(kind.samples().get(best).atMs() - ms)) {
        best = i;
      }
    }
    return best;
  }
}
