package org.cellherd.protocol.bringup;

import java.util.HexFormat;
import java.util.Optional;

/**
 * How hex digits stand on a line: between a start mark and an end mark.
 *
 * @param startBytes characters before the digits
 * @param endBytes characters after them
 */
record HexLine(int startBytes, int endBytes) {
  /** No hex line: binary. */
  static final HexLine NONE = new HexLine(0, 0);

  /** The bytes that the digits mean; empty when there is anything else, or an odd digit. */
  Optional<byte[]> decode(byte[] wire) {
    int digits = wire.length - startBytes - endBytes;
    if (digits <= 0 || digits % 2 != 0) {
      return Optional.empty();
    }
    byte[] bytes = new byte[digits / 2];
    for (int i = 0; i < bytes.length; i++) {
      int high = digit(wire[startBytes + 2 * i]);
      int low = digit(wire[startBytes + 2 * i + 1]);
      if (high < 0 || low < 0) {
        return Optional.empty();
      }
      bytes[i] = (byte) (high << 4 | low);
    }
    return Optional.of(bytes);
  }

  /** The digit's value, or -1. */
  static int digit(int character) {
    return HexFormat.isHexDigit(character & 0xFF) ? HexFormat.fromHexDigit(character & 0xFF) : -1;
  }
}
