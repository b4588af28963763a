package org.cellherd.protocol.bringup;

import java.util.Arrays;
import java.util.List;

/**
 * The messages of one kind and the bytes of them that hold data.
 *
 * @param samples in the order of the capture
 * @param places when each came among all messages, in an order that rises
 * @param from first byte of the data
 * @param to the byte behind it
 */
record Stretch(List<Sample> samples, List<Long> places, int from, int to) {

  /** Lost and broken messages that pass a weak check value: so many of 100 may disagree. */
  private static final int LEAST_PERCENT = 97;

  /** The number at a place in each message. */
  double[] values(Code code, int at, int rank) {
    return samples.stream().mapToDouble(s -> code.read(s, at, rank)).toArray();
  }

  /** What nearly all messages allow of a count that noise makes smaller in some. */
  static int nearlyAll(int[] counts) {
    Arrays.sort(counts);
    return counts.length == 0 ? 0 : counts[counts.length * (100 - LEAST_PERCENT) / 100];
  }

  static boolean nearlyAll(long right, long all) {
    return all > 0 && right * 100 >= all * LEAST_PERCENT;
  }

  boolean isConstant(int at) {
    return Structure.isConstant(samples, at);
  }

  /** Index of the message that came nearest to a place. */
  int nearest(long place) {
    int low = 0;
    int high = places.size() - 1;
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (places.get(middle) < place) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    boolean isBefore = low > 0 && place - places.get(low - 1) <= Math.abs(places.get(low) - place);
    return isBefore ? low - 1 : low;
  }
}
