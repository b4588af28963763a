package org.cellherd.protocol.bringup;

import java.util.List;
import java.util.Set;
import org.cellherd.protocol.checksum.Checksum;

/**
 * A check value that fits.
 *
 * @param checksum the algorithm
 * @param form where it stands and what it covers
 * @param passed the samples that it fits
 * @param tried how many samples were tried
 * @param bits how much chance is ruled out: the odds of a coincidence are 1 in 2^bits
 */
record ChecksumFit(Checksum checksum, Form form, List<Sample> passed, int tried, int bits) {

  /**
   * Where a check value stands and what it covers.
   *
   * @param from first byte covered; it covers all from there up to itself
   * @param after bytes behind it
   * @param isLowFirst true when its low byte comes first
   * @param isHex true when it stands as hex digits in a binary message
   * @param overCharacters true when it covers the characters of a hex line, not their bytes
   */
  record Form(int from, int after, boolean isLowFirst, boolean isHex, boolean overCharacters) {
    /** Bytes that a value of some width takes. */
    int bytesOf(Checksum checksum) {
      return checksum.bytes() * (isHex ? 2 : 1);
    }
  }

  /** Bytes that it takes. */
  int width() {
    return form.bytesOf(checksum);
  }

  /** Where it stands in a message of some length. */
  int place(int length) {
    return length - form.after() - width();
  }

  /** Different messages among those that passed. */
  int distinct() {
    return Set.copyOf(passed).size();
  }
}
