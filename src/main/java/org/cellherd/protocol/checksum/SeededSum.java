package org.cellherd.protocol.checksum;

import java.util.Locale;

/**
 * A sum that does not begin with 0: a constant is added to the bytes, or joined by exclusive-or,
 * before the sum is turned over.
 *
 * @param sum the rule
 * @param seed the constant, as wide as the sum
 */
public record SeededSum(Sum sum, long seed) implements Checksum {

  @Override
  public String word() {
    return sum.word();
  }

  @Override
  public String described() {
    return String.format(Locale.ROOT, "%s begun with %0" + 2 * bytes() + "X", word(), seed);
  }

  @Override
  public int bytes() {
    return sum.bytes();
  }

  @Override
  public long begunWith(long other, byte[] data) {
    return sum.over(other, data, 0, data.length);
  }

  @Override
  public long over(byte[] data, int from, int to) {
    return sum.over(seed, data, from, to);
  }
}
