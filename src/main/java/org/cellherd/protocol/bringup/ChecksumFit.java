package org.cellherd.protocol.bringup;

import java.util.List;
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
   * @param from first byte covered; it covers all from there up to itself, or, standing in front,
   *     all but itself
   * @param front its place when it stands in front of the data, or {@link #AT_END}
   * @param after bytes behind all that is covered
   * @param isLowFirst true when its low byte comes first
   * @param isHex true when it stands as hex digits in a binary message
   * @param overCharacters true when it covers the characters of a hex line, not their bytes
   */
  record Form(
      int from, int front, int after, boolean isLowFirst, boolean isHex, boolean overCharacters) {
    static final int AT_END = -1;

    /** Binary, behind what it covers. */
    static Form atEnd(int from, int after, boolean isLowFirst) {
      return new Form(from, AT_END, after, isLowFirst, false, false);
    }

    /** Binary, in front of the data. */
    static Form inFront(int from, int front, boolean isLowFirst) {
      return new Form(from, front, 0, isLowFirst, false, false);
    }

    boolean isInFront() {
      return front != AT_END;
    }

    /** Where a value of some bytes stands in a message of some length. */
    int place(int length, int width) {
      return isInFront() ? front : length - after - width;
    }

    /** Bytes that a value of some width takes. */
    int bytesOf(Checksum checksum) {
      return checksum.bytes() * (isHex ? 2 : 1);
    }
  }

  int width() {
    return form.bytesOf(checksum);
  }

  /** Where it stands in a message of some length. */
  int place(int length) {
    return form.place(length, width());
  }

  /** Bytes behind the data: check value and end mark. */
  int trailer() {
    return form.after() + (form.isInFront() ? 0 : width());
  }
}
