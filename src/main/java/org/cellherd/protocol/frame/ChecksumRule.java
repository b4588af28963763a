package org.cellherd.protocol.frame;

import java.util.Set;
import org.cellherd.protocol.checksum.Checksum;

/**
 * A frame's check value.
 *
 * @param checksum the algorithm
 * @param covers names of the parts it covers, in the order of the frame
 * @param overCharacters true when it is taken over the characters on the wire, not over the bytes
 * @param inHex true when the value stands as hex digits in a binary frame
 */
public record ChecksumRule(
    Checksum checksum, Set<String> covers, boolean overCharacters, boolean inHex) {

  /** Makes the sets unchangeable. */
  public ChecksumRule {
    covers = Set.copyOf(covers);
  }

  /** Bytes that the value takes in the frame. */
  public int bytes() {
    return checksum.bytes() * (inHex ? 2 : 1);
  }
}
