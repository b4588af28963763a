package org.cellherd.protocol;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.cellherd.Tools;

/** The vectors of published standards, read from the folder of open data. */
final class Vectors {

  private Vectors() {}

  /** Rows of a file, header left out. */
  static List<List<String>> rows(String file) {
    try {
      List<String> lines =
          Files.readAllLines(Tools.openData().resolve("standards/vectors").resolve(file));
      return lines.stream().skip(1).map(Vectors::split).toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static List<String> split(String line) {
    List<String> fields = new ArrayList<>();
    StringBuilder field = new StringBuilder();
    boolean quoted = false;
    for (int i = 0; i < line.length(); i++) {
      char c = line.charAt(i);
      if (c == '"') {
        boolean doubled = quoted && i + 1 < line.length() && line.charAt(i + 1) == '"';
        if (doubled) {
          field.append(c);
          i++;
        } else {
          quoted = !quoted;
        }
      } else if (c == ',' && !quoted) {
        fields.add(field.toString());
        field.setLength(0);
      } else {
        field.append(c);
      }
    }
    fields.add(field.toString());
    return fields;
  }

  static byte[] bytes(String hex) {
    return HexFormat.of().parseHex(hex.replace(" ", ""));
  }

  static String hex(byte[] bytes) {
    return HexFormat.ofDelimiter(" ").withUpperCase().formatHex(bytes);
  }
}
