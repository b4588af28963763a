package org.cellherd.store.codec;

import java.util.Arrays;

/**
 * A binary range coder with adaptive probabilities. The model asks the same questions whether it
 * writes or reads: {@link #code} takes the bit to write, or ignores it, and returns the bit that
 * was written or read. So both directions are one piece of code and cannot drift apart.
 *
 * <p>Each context holds the probability of a 1 in 16 bits and how often it was seen: a new context
 * learns fast, an old one slowly.
 */
abstract class BitCoder {

  /** The range never falls below this, so a probability always keeps 16 bits of weight. */
  static final long LEAST_RANGE = 1L << 32;

  static final long MOST_RANGE = (1L << 40) - 1;

  /** Most learning steps remembered: about 1/200 of each new bit is taken in at the end. */
  private static final int MOST_SEEN = 200;

  private static final int[] RATE = rates();

  private final int[] states;

  BitCoder(int contexts) {
    states = new int[contexts];
    Arrays.fill(states, 1 << 23);
  }

  private static int[] rates() {
    int[] rates = new int[MOST_SEEN + 1];
    for (int n = 0; n <= MOST_SEEN; n++) {
      rates[n] = (int) Math.round(65536 / (n + 1.6));
    }
    return rates;
  }

  abstract int code(int context, int bit);

  abstract int raw(int bit);

  /** Probability of a 1 in 1/65536, never certain. */
  final int probability(int context) {
    return states[context] >>> 8;
  }

  /** Moves a context towards the bit that came. */
  final void learn(int context, int bit) {
    int state = states[context];
    int p = state >>> 8;
    int n = state & 0xff;
    int target = bit == 0 ? 24 : 65536 - 24;
    int moved = p + (int) (((long) (target - p) * RATE[n]) >> 16);
    states[context] = moved << 8 | (n < MOST_SEEN ? n + 1 : n);
  }
}
