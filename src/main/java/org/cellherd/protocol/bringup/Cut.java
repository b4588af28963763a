package org.cellherd.protocol.bringup;

import java.util.List;
import java.util.Optional;

/**
 * One way to cut a capture into messages.
 *
 * @param how in words
 * @param line how hex digits stand, {@link HexLine#NONE} for binary
 * @param escape how bytes are escaped between the marks
 * @param rule cuts one burst
 * @param samples the messages of the usual lengths
 * @param others pieces that are of no usual length
 */
record Cut(
    String how,
    HexLine line,
    Optional<Escape> escape,
    Rule rule,
    List<Sample> samples,
    int others) {
  /** Cuts a burst into pieces, each of which may be a message. */
  @FunctionalInterface
  interface Rule {
    /** The pieces of a burst, in their order. */
    List<Sample> pieces(Burst burst);
  }

  boolean isHex() {
    return !line.equals(HexLine.NONE);
  }
}
