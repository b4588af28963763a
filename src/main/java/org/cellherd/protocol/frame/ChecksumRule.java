package org.cellherd.protocol.frame;

import java.util.Set;
import org.cellherd.protocol.checksum.Checksum;

/**
 * A frame's check value. It may cover the address of a frame that does not hold it, as if that
 * stood in front of everything else.
 *
 * @param checksum the algorithm
 * @param covers names of the parts it covers, in the order of the frame
 * @param overCharacters true when it is taken over the characters on the wire, not over the bytes
 * @param inHex true when the value stands as hex digits in a binary frame
 * @param isBegunWithAddress true when the address takes the place of the algorithm's own beginning
 */
public record ChecksumRule(
    Checksum checksum,
    Set<String> covers,
    boolean overCharacters,
    boolean inHex,
    boolean isBegunWithAddress) {

  /** A check value that knows no address. */
  public static ChecksumRule of(Checksum checksum, Set<String> covers) {
    return new ChecksumRule(checksum, covers, false, false, false);
  }

  public ChecksumRule {
    covers = Set.copyOf(covers);
  }

  /** The value over some bytes of a frame from or to an address. */
  long over(byte[] covered, long address) {
    return isBegunWithAddress
        ? checksum.begunWith(Math.max(0, address), covered)
        : checksum.over(covered);
  }

  /** Bytes that the value takes in the frame. */
  public int bytes() {
    return checksum.bytes() * (inHex ? 2 : 1);
  }
}
