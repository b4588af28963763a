package org.cellherd.analysis.ageing;

import org.cellherd.analysis.state.State;

/**
 * Rainflow counting of cycles, ASTM E1049-85 5.4.4, one reversal at a time. What is not closed
 * stays on a stack, which is bounded by the number of distinct levels. Belongs to one thread.
 */
final class Rainflow {
  private static final int MOST = 512;

  private final double[] stack = new double[MOST];
  private int size;

  /** Takes a counted cycle. */
  @FunctionalInterface
  interface Cycles {
    /**
     * A cycle.
     *
     * @param range between its ends
     * @param mean of its ends
     * @param count 1 for a whole, 0.5 for a half
     */
    void cycle(double range, double mean, double count);
  }

  /** Takes the next reversal; the first point of a series counts as one. */
  void reversal(double value, Cycles cycles) {
    if (size == MOST) {
      give(0, 0.5, cycles);
      drop(0, 1);
    }
    stack[size++] = value;
    while (size >= 3) {
      double newest = Math.abs(stack[size - 1] - stack[size - 2]);
      double before = Math.abs(stack[size - 2] - stack[size - 3]);
      if (newest < before) {
        return;
      }
      if (size == 3) {
        give(0, 0.5, cycles);
        drop(0, 1);
      } else {
        give(size - 3, 1, cycles);
        drop(size - 3, 2);
      }
    }
  }

  /** Counts what is not closed as half cycles, and forgets nothing. */
  void residue(Cycles cycles) {
    for (int i = 0; i + 1 < size; i++) {
      give(i, 0.5, cycles);
    }
  }

  private void give(int at, double count, Cycles cycles) {
    cycles.cycle(Math.abs(stack[at + 1] - stack[at]), (stack[at + 1] + stack[at]) / 2, count);
  }

  private void drop(int at, int points) {
    System.arraycopy(stack, at + points, stack, at, size - at - points);
    size -= points;
  }

  /** Points that are not closed. */
  int size() {
    return size;
  }

  void state(State io) {
    size = io.within(size, 0, MOST);
    io.first(size, stack);
  }
}
