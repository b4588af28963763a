package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** How values stand in lines. */
enum LineForm {
  CSV,
  KEY_VALUE,
  /** Groups of type, value, unit and name (NMEA 0183 XDR). */
  XDR,
  /** CAN frames as an slcan adapter writes them. */
  SLCAN;

  private static final String SEPARATORS = ",;|\t ";
  private static final String KEY_SEPARATORS = "=:";
  private static final Pattern SLCAN_LINE =
      Pattern.compile("(?:t[0-9A-Fa-f]{3}|T[0-9A-Fa-f]{8})([0-8])([0-9A-Fa-f]*)");

  /** Digits of the time stamp that some adapters put behind the data. */
  private static final int STAMP = 4;

  static LineForm of(List<String> lines, char separator) {
    if (most(lines.stream().filter(LineForm::isCanLine).count(), lines)) {
      return SLCAN;
    }
    if (most(lines.stream().filter(l -> l.matches("\\$.*XDR,.*")).count(), lines)) {
      return XDR;
    }
    char key = keySeparator(lines);
    long pairs = lines.stream().filter(l -> isPairs(l, separator, key)).count();
    return most(pairs, lines) ? KEY_VALUE : CSV;
  }

  static boolean isCanLine(String line) {
    Matcher matcher = SLCAN_LINE.matcher(line);
    if (!matcher.matches()) {
      return false;
    }
    int rest = matcher.group(2).length() - 2 * Integer.parseInt(matcher.group(1));
    return rest == 0 || rest == STAMP;
  }

  private static boolean most(long count, List<String> lines) {
    return count * 10 >= lines.size() * 8L;
  }

  private static boolean isPairs(String line, char separator, char key) {
    List<String> pieces = split(line, separator);
    long pairs = pieces.stream().filter(p -> p.indexOf(key) > 0).count();
    return pairs >= 2 && pairs * 10 >= pieces.size() * 7L;
  }

  /** The separator that comes most evenly often. */
  static char separator(List<String> lines) {
    return mostCommon(lines, SEPARATORS);
  }

  static char keySeparator(List<String> lines) {
    return mostCommon(lines, KEY_SEPARATORS);
  }

  private static char mostCommon(List<String> lines, String candidates) {
    char best = candidates.charAt(0);
    long most = 0;
    for (int i = 0; i < candidates.length(); i++) {
      char c = candidates.charAt(i);
      long lowest = lines.stream().mapToLong(l -> l.chars().filter(x -> x == c).count()).sum();
      if (lowest > most) {
        most = lowest;
        best = c;
      }
    }
    return best;
  }

  static List<String> split(String line, char separator) {
    List<String> pieces = new ArrayList<>();
    int from = 0;
    for (int at = line.indexOf(separator); at >= 0; at = line.indexOf(separator, from)) {
      pieces.add(line.substring(from, at).strip());
      from = at + 1;
    }
    pieces.add(line.substring(from).strip());
    return pieces;
  }

  /** Name and text of each value of a line whose first characters were taken off. */
  Map<String, String> values(String line, char separator, char key) {
    List<String> pieces = split(line, separator);
    Map<String, String> values = new LinkedHashMap<>();
    for (int i = 0; i < pieces.size(); i++) {
      String piece = pieces.get(i);
      if (this == CSV) {
        values.put(Integer.toString(i + 1), piece);
      } else if (this == KEY_VALUE && piece.indexOf(key) > 0) {
        int at = piece.indexOf(key);
        values.put(piece.substring(0, at).strip(), piece.substring(at + 1).strip());
      } else if (this == XDR && i % 4 == 3) {
        values.put(pieces.get(i - 3) + " " + piece, pieces.get(i - 2));
      }
    }
    return values;
  }
}
