package org.cellherd.protocol.spec;

import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.protocol.checksum.Checksum;

/**
 * The check value of a text line: hex digits behind a mark, as in NMEA 0183 {@code $...*hh}.
 *
 * @param checksum the algorithm, empty for lines without one
 * @param skip characters at the beginning of the line that it does not cover
 * @param mark the character before the digits
 */
record LineCheck(Optional<Checksum> checksum, int skip, char mark) {

  public static final LineCheck NONE = new LineCheck(Optional.empty(), 0, '*');

  boolean isNone() {
    return checksum.isEmpty();
  }

  /** Place of the mark, with all digits behind it and nothing more; -1 when there is none. */
  int markIn(byte[] line) {
    int at = line.length - digits() - 1;
    return at >= skip && line[at] == mark ? at : -1;
  }

  private int digits() {
    return 2 * checksum.orElseThrow().bytes();
  }

  long read(byte[] line, int markAt) {
    String digits = new String(line, markAt + 1, digits(), StandardCharsets.ISO_8859_1);
    return digits.matches("[0-9A-Fa-f]+") ? HexFormat.fromHexDigitsToLong(digits) : -1;
  }

  long over(byte[] line, int markAt) {
    return checksum.orElseThrow().over(line, Math.min(skip, markAt), markAt);
  }

  String written(byte[] data) {
    long value = over(data, data.length);
    return mark + String.format(Locale.ROOT, "%0" + digits() + "X", value);
  }
}
