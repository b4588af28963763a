package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalInt;

/** Looks for a number near the beginning of messages that follows their length. */
final class LengthSearch {
  private static final int LAST_PLACE = 7;
  private static final int MOST_UNCOUNTED = 14;

  private final List<Sample> samples;
  private final boolean isHexLine;
  private final int trailer;

  /**
   * A search.
   *
   * @param trailer bytes of the check value and of what follows it
   */
  LengthSearch(List<Sample> samples, boolean isHexLine, int trailer) {
    this.samples = samples;
    this.isHexLine = isHexLine;
    this.trailer = trailer;
  }

  /** What fits, the most natural first. */
  List<LengthFit> fits() {
    int lengths = (int) samples.stream().mapToInt(Sample::length).distinct().count();
    List<LengthFit> fits = new ArrayList<>();
    for (int at = 0; at <= LAST_PLACE; at++) {
      for (int variant = 0; variant < 3; variant++) {
        int bytes = variant == 0 ? 1 : 2;
        add(fits, new LengthFit(at, bytes, variant == 2, 0, false, false, lengths));
        if (isHexLine) {
          add(fits, new LengthFit(at, bytes, variant == 2, 0, true, false, lengths));
        }
      }
      if (isHexLine) {
        add(fits, new LengthFit(at, 2, false, 0, true, true, lengths));
      }
    }
    fits.sort(Comparator.comparingInt(this::unnaturalness));
    return fits;
  }

  private void add(List<LengthFit> fits, LengthFit form) {
    OptionalInt uncounted = OptionalInt.empty();
    for (Sample sample : samples) {
      int value = value(form, sample);
      int length = sample.length() * (form.inCharacters() ? 2 : 1);
      int rest = length - value;
      if (value <= 0 || (uncounted.isPresent() && uncounted.getAsInt() != rest)) {
        return;
      }
      uncounted = OptionalInt.of(rest);
    }
    int rest = uncounted.orElse(-1);
    if (rest >= 0 && rest <= MOST_UNCOUNTED * (form.inCharacters() ? 2 : 1)) {
      fits.add(
          new LengthFit(
              form.at(),
              form.bytes(),
              form.isLowFirst(),
              rest,
              form.inCharacters(),
              form.hasNibbleCheck(),
              form.lengths()));
    }
  }

  /** The number, or -1 where it cannot be one. */
  private static int value(LengthFit form, Sample sample) {
    if (form.at() + form.bytes() > sample.length()) {
      return -1;
    }
    int first = sample.at(form.at());
    if (form.bytes() == 1) {
      return first;
    }
    int second = sample.at(form.at() + 1);
    int value = form.isLowFirst() ? second << 8 | first : first << 8 | second;
    if (!form.hasNibbleCheck()) {
      return value;
    }
    int sum = (value >> 12) + (value >> 8 & 15) + (value >> 4 & 15) + (value & 15);
    return (sum & 15) == 0 ? value & 0xFFF : -1;
  }

  /** Data alone is counted most often, then data and check value, then all behind the number. */
  private int unnaturalness(LengthFit fit) {
    int unit = fit.inCharacters() ? 2 : 1;
    int behind = fit.at() + fit.bytes();
    int dataOnly = unit * (behind + trailer);
    int penalty = fit.hasNibbleCheck() ? 0 : 20;
    if (fit.uncounted() == dataOnly) {
      penalty += 0;
    } else if (fit.uncounted() == unit * behind || fit.uncounted() == 0) {
      penalty += 2;
    } else {
      penalty += 5 + Math.abs(fit.uncounted() - dataOnly);
    }
    return penalty + fit.bytes();
  }
}
