package org.cellherd.sim;

import java.util.SplittableRandom;

/**
 * Chance that depends on nothing but a seed, a name and a number: the same question always has the
 * same answer, whatever was asked before. Immutable; any thread.
 */
final class Chance {

  private static final long GOLDEN = 0x9E3779B97F4A7C15L;

  private final long seed;

  public Chance(long seed) {
    this.seed = seed;
  }

  /** An independent source for a purpose. */
  public Chance of(String purpose) {
    return new Chance(mix(seed ^ (purpose.hashCode() * GOLDEN)));
  }

  /** A generator for the n-th occasion. */
  public SplittableRandom at(long n) {
    return new SplittableRandom(mix(seed + n * GOLDEN));
  }

  /** A number from 0 to below 1 for the n-th occasion. */
  public double unit(long n) {
    return (mix(seed + n * GOLDEN) >>> 11) * 0x1.0p-53;
  }

  /** A standard normal number for the n-th occasion. */
  public double normal(long n) {
    return at(n).nextGaussian();
  }

  /** A number from 0 to 1 that wanders smoothly, with a new value at every whole place. */
  public double wander(double place) {
    long whole = (long) Math.floor(place);
    double part = place - whole;
    double smooth = part * part * (3 - 2 * part);
    return unit(whole) + (unit(whole + 1) - unit(whole)) * smooth;
  }

  /** The finaliser of the SplitMix64 generator. */
  private static long mix(long z) {
    long a = (z ^ (z >>> 30)) * 0xBF58476D1CE4E5B9L;
    long b = (a ^ (a >>> 27)) * 0x94D049BB133111EBL;
    return b ^ (b >>> 31);
  }
}
