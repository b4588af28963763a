package org.cellherd.protocol.spec;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;

/** Ready ways of framing, by the word used in description files. */
public enum FrameKind {
  /** A row of described parts. */
  PARTS,
  /** Modbus over a serial line, binary. */
  MODBUS_RTU,
  /** Modbus over a serial line, hex digits. */
  MODBUS_ASCII,
  /** The ASCII-hex frame of telecom power supplies (YD/T 1363 part 3). */
  TELECOM_HEX,
  /** Lines of text. */
  LINE,
  /** CAN frames written by an slcan adapter. */
  SLCAN;

  /** The word. */
  public String word() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  static List<String> words() {
    return Arrays.stream(values()).map(FrameKind::word).toList();
  }

  static FrameKind of(String word) {
    return Arrays.stream(values()).filter(k -> k.word().equals(word)).findFirst().orElse(PARTS);
  }
}
