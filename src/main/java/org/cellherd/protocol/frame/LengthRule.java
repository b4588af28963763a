package org.cellherd.protocol.frame;

import java.util.Set;

/**
 * What a frame's length part says.
 *
 * @param counts names of the parts it counts
 * @param plus added to the count
 * @param inCharacters true when each byte counts as two characters of hex
 * @param nibbleChecked true when the top four bits hold the negative sum of the other three nibbles
 */
public record LengthRule(
    Set<String> counts, int plus, boolean inCharacters, boolean nibbleChecked) {

  public LengthRule {
    counts = Set.copyOf(counts);
  }

  /** The length part's number for some counted bytes. */
  long encode(int countedBytes) {
    long count = (inCharacters ? 2L * countedBytes : countedBytes) + plus;
    return nibbleChecked ? (check(count) << 12) | (count & 0xFFF) : count;
  }

  /** The counted bytes of a length part's number, or -1 when the number cannot be. */
  int decode(long number) {
    if (nibbleChecked && number >>> 12 != check(number)) {
      return -1;
    }
    long count = (nibbleChecked ? number & 0xFFF : number) - plus;
    if (count < 0 || count > (1 << 20) || (inCharacters && count % 2 != 0)) {
      return -1;
    }
    return (int) (inCharacters ? count / 2 : count);
  }

  private static long check(long number) {
    long sum = (number & 0xF) + (number >>> 4 & 0xF) + (number >>> 8 & 0xF);
    return -sum & 0xF;
  }
}
