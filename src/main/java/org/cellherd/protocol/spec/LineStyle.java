package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.List;

/**
 * How values stand in a line.
 *
 * @param kind the way
 * @param separator between values or pairs
 * @param keySeparator between key and value
 */
record LineStyle(Kind kind, char separator, char keySeparator) {

  public enum Kind {
    CSV,
    KEY_VALUE,
    /** Groups of type, value, unit and name, as in NMEA 0183 XDR. */
    XDR
  }

  List<String> split(String text) {
    List<String> pieces = new ArrayList<>();
    int from = 0;
    for (int at = text.indexOf(separator); at >= 0; at = text.indexOf(separator, from)) {
      pieces.add(text.substring(from, at).strip());
      from = at + 1;
    }
    pieces.add(text.substring(from).strip());
    return pieces;
  }
}
