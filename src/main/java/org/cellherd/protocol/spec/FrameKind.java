package org.cellherd.protocol.spec;

import java.util.List;
import org.cellherd.pack.Worded;

/** Ready ways of framing, by the word used in description files. */
enum FrameKind implements Worded {
  /** A row of described parts. */
  PARTS,
  /** Modbus over a serial line, binary. */
  MODBUS_RTU,
  /** Modbus over a serial line, hex digits. */
  MODBUS_ASCII,
  /** The ASCII-hex frame of telecom power supplies (YD/T 1363 part 3). */
  TELECOM_HEX,
  LINE,
  /** CAN frames written by an slcan adapter. */
  SLCAN;

  static List<String> words() {
    return Worded.words(values());
  }

  static FrameKind of(String word) {
    return Worded.find(values(), word).orElse(PARTS);
  }
}
