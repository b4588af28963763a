package org.cellherd.protocol.bringup;

import java.io.ByteArrayOutputStream;
import java.util.List;

/**
 * The marks around an escaped frame and how bytes that look like them are written.
 *
 * @param written what follows the escape byte instead of start, end and escape byte
 */
record EmulatedMarks(int start, int end, int escape, List<Integer> written) {

  /** RFC 1662, RFC 1055, or marks of their own with a bit of what they hide turned. */
  static EmulatedMarks drawn(Chances chances) {
    return switch (chances.upTo(4)) {
      case 0 -> turned(0x7E, 0x7E, 0x7D, 0x20);
      case 1 -> new EmulatedMarks(0xC0, 0xC0, 0xDB, List.of(0xDC, 0xDC, 0xDD));
      default -> {
        int start = 1 + chances.upTo(0x20);
        int end = start + 1 + chances.upTo(8);
        yield turned(start, end, end + 1 + chances.upTo(8), chances.once(2) ? 0x80 : 0xFF);
      }
    };
  }

  private static EmulatedMarks turned(int start, int end, int escape, int bits) {
    return new EmulatedMarks(start, end, escape, List.of(start ^ bits, end ^ bits, escape ^ bits));
  }

  /** The bytes between the marks as they stand on the wire. */
  byte[] escaped(byte[] plain) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (byte b : plain) {
      int rank = List.of(start, end, escape).indexOf(b & 0xFF);
      if (rank >= 0) {
        out.write(escape);
      }
      out.write(rank >= 0 ? written.get(rank) : b);
    }
    return out.toByteArray();
  }
}
