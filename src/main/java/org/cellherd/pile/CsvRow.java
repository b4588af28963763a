package org.cellherd.pile;

import java.util.ArrayList;
import java.util.List;

/** One line of a table: fields in quotes may hold the separator, and doubled quotes (RFC 4180). */
final class CsvRow {

  private CsvRow() {}

  /** The fields without the blanks around them. */
  static List<String> split(String line, char separator) {
    List<String> fields = new ArrayList<>();
    StringBuilder field = new StringBuilder();
    boolean quoted = false;
    for (int i = 0; i < line.length(); i++) {
      char c = line.charAt(i);
      if (c == '"' && quoted && i + 1 < line.length() && line.charAt(i + 1) == '"') {
        field.append('"');
        i++;
      } else if (c == '"') {
        quoted = !quoted;
      } else if (c == separator && !quoted) {
        fields.add(field.toString().strip());
        field.setLength(0);
      } else {
        field.append(c);
      }
    }
    fields.add(field.toString().strip());
    return fields;
  }
}
