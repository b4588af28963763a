package org.cellherd.analysis.capacity;

import java.util.Locale;
import java.util.Optional;

/** What keeps a pack from giving more. */
enum Limit {
  /** What its smallest cell holds: balancing would bring next to nothing. */
  CAPACITY,
  /** Other cells are full first than are empty first: balancing would bring some. */
  CHARGE,
  /** The charge before did not show how the cells stood, or not well enough. */
  UNKNOWN;

  /** Of the rating; less is not worth a sentence, and no more is charged twice alike. */
  static final double TELLING_SHARE = 0.01;

  /** Of the rating: two tests of one pack agree no better over months (common practice). */
  private static final double NEXT_TO_NOTHING = 0.03;

  static Limit of(Optional<SeriesString> string, double ratedAh) {
    if (string.isEmpty()) {
      return UNKNOWN;
    }
    double low = string.get().imbalanceCosts().low();
    double high = string.get().imbalanceCosts().high();
    if (low >= TELLING_SHARE * ratedAh) {
      return CHARGE;
    }
    return high <= NEXT_TO_NOTHING * ratedAh ? CAPACITY : UNKNOWN;
  }

  /** The word used outside. */
  String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
