package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.DoubleStream;

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

  private static final int ROWS = 4;

  /** Some messages in rows of neighbours from all over: steps are those between neighbours. */
  Stretch rows(int most) {
    if (samples.size() <= most) {
      return this;
    }
    List<Sample> some = new ArrayList<>();
    List<Long> came = new ArrayList<>();
    int row = most / ROWS;
    for (int i = 0; i < ROWS; i++) {
      int first = (int) ((long) (samples.size() - row) * i / (ROWS - 1));
      some.addAll(samples.subList(first, first + row));
      came.addAll(places.subList(first, first + row));
    }
    return new Stretch(some, came, from, to);
  }

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

  /**
   * Values in which those are replaced that lie alone far outside of nearly all others: a message
   * was damaged and passed a weak check value.
   */
  static double[] withoutLoneLeaps(double[] values) {
    double[] sorted = DoubleStream.of(values).filter(v -> !Double.isNaN(v)).sorted().toArray();
    int few = fewOf(sorted.length) / 2;
    if (few == 0) {
      return values;
    }
    double low = sorted[few];
    double high = sorted[sorted.length - 1 - few];
    double width = high - low;
    double[] calm = values.clone();
    for (int i = 1; i + 1 < values.length; i++) {
      boolean isFar = values[i] < low - 2 * width || values[i] > high + 2 * width;
      boolean isAlone = values[i + 1] >= low - 2 * width && values[i + 1] <= high + 2 * width;
      calm[i] = isFar && isAlone ? calm[i - 1] : values[i];
    }
    return calm;
  }

  /** How many of some messages may disagree. */
  static int fewOf(int all) {
    return all * (100 - LEAST_PERCENT) / 100;
  }

  /**
   * For each message of another kind the one of this kind that came with it, or -1 where that was
   * lost: nothing came at the usual distance, give or take half of the time to the next.
   */
  int[] partnersOf(Stretch other) {
    int n = other.places.size();
    int[] partners = new int[n];
    long[] distances = new long[n];
    for (int i = 0; i < n; i++) {
      partners[i] = nearest(other.places.get(i));
      distances[i] = places.get(partners[i]) - other.places.get(i);
    }
    long usual = median(distances);
    long half = median(other.paces()) / 2;
    for (int i = 0; i < n; i++) {
      partners[i] = Math.abs(distances[i] - usual) > half ? -1 : partners[i];
    }
    return partners;
  }

  private static long median(long[] values) {
    long[] sorted = values.clone();
    Arrays.sort(sorted);
    return sorted.length == 0 ? 0 : sorted[sorted.length / 2];
  }

  /** How many messages there was time for since the one before, itself included; at least 1. */
  long[] turns() {
    long[] paces = paces();
    long usual = Math.max(1, median(paces));
    long[] turns = new long[samples.size()];
    for (int i = 1; i < turns.length; i++) {
      turns[i] = Math.max(1, Math.round((double) paces[i - 1] / usual));
    }
    return turns;
  }

  private long[] paces() {
    long[] paces = new long[Math.max(0, places.size() - 1)];
    for (int i = 0; i < paces.length; i++) {
      paces[i] = places.get(i + 1) - places.get(i);
    }
    return paces;
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
