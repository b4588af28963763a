package org.cellherd.protocol.bringup;

import java.util.List;
import java.util.Optional;

/**
 * One way to cut a capture into messages.
 *
 * @param how in words
 * @param header the bytes that each begins with, as hex; may be empty
 * @param line how hex digits stand, {@link HexLine#NONE} for binary
 * @param escape how bytes are escaped between the marks
 * @param samples the messages of the usual lengths
 * @param others pieces that are of no usual length
 */
record Cut(
    String how,
    String header,
    HexLine line,
    Optional<Escape> escape,
    List<Sample> samples,
    int others) {
  boolean isHex() {
    return !line.equals(HexLine.NONE);
  }
}
