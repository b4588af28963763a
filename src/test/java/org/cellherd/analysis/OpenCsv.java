package org.cellherd.analysis;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.Tools;

/** Rows of a file of open measurement data by column name; skips the test without the data. */
public final class OpenCsv {
  private OpenCsv() {}

  /** All rows. */
  public static List<Map<String, String>> rows(String name) {
    Path file = Tools.openData().resolve("open").resolve(name);
    try {
      List<String> lines = Files.readAllLines(file);
      String[] head = lines.get(0).split(",", -1);
      List<Map<String, String>> rows = new ArrayList<>();
      for (String line : lines.subList(1, lines.size())) {
        String[] cells = line.split(",", -1);
        Map<String, String> row = new HashMap<>();
        for (int i = 0; i < head.length; i++) {
          row.put(head[i], cells[i]);
        }
        rows.add(row);
      }
      return rows;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** A number of a row. */
  public static double number(Map<String, String> row, String column) {
    return Double.parseDouble(row.getOrDefault(column, ""));
  }
}
