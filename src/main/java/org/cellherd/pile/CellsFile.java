package org.cellherd.pile;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.cellherd.pack.PlainText;
import org.cellherd.pack.Spoken;
import org.cellherd.toml.Problems;
import org.cellherd.toml.Suggestion;

/**
 * A table of the units of a pile: one header line, one line a unit. Separated by commas, or by
 * semicolons with decimal commas as spreadsheets of some countries write them. Lines that begin
 * with # and empty lines are skipped. All mistakes are collected with their lines.
 */
public final class CellsFile {

  /** Longest line, characters. */
  public static final int LONGEST_LINE = 1 << 14;

  /** Most units: more than any solver here is made for. */
  public static final int MOST_UNITS = 10_000;

  private final String file;
  private final Problems problems;
  private final List<Unit> units = new ArrayList<>();
  private final Map<String, Integer> lineOfId = new HashMap<>();
  private List<Optional<CellsColumn>> columns = List.of();
  private char separator = ',';
  private boolean hasIds;
  private int line;

  private CellsFile(String file, Problems problems) {
    this.file = file;
    this.problems = problems;
  }

  /**
   * The units of a file.
   *
   * @param file its name, for the mistakes
   * @param lines its lines
   * @param problems takes the mistakes; the units are of use only when there are none
   */
  public static List<Unit> read(String file, Iterable<String> lines, Problems problems) {
    CellsFile reader = new CellsFile(file, problems);
    for (String text : lines) {
      reader.take(text);
    }
    if (reader.columns.isEmpty()) {
      problems.add(file, 0, "", "is empty; the first line names the columns, such as id,rest_1_v");
    } else if (reader.units.isEmpty() && problems.isEmpty()) {
      problems.add(file, 0, "", "holds no unit: one line a unit, below the names of the columns");
    }
    return List.copyOf(reader.units);
  }

  /** The columns' names, # for a number, each with what it holds. */
  public static Map<String, String> columns() {
    return CellsColumn.meanings();
  }

  private void take(String text) {
    line++;
    String clean = line == 1 && text.startsWith("\ufeff") ? text.substring(1) : text;
    if (clean.isBlank() || clean.startsWith("#")) {
      return;
    }
    if (clean.length() > LONGEST_LINE) {
      problems.add(file, line, "", "is longer than " + LONGEST_LINE + " characters");
    } else if (columns.isEmpty()) {
      header(clean);
    } else if (units.size() == MOST_UNITS) {
      problems.add(file, line, "", "more than " + MOST_UNITS + " units");
    } else if (hasIds) {
      row(clean);
    }
  }

  private void header(String text) {
    separator = text.indexOf(';') >= 0 && text.indexOf(',') < 0 ? ';' : ',';
    if (text.indexOf('\t') >= 0 && text.indexOf(separator) < 0) {
      problems.add(
          file, line, "", "tabs separate the columns; separate them by commas or semicolons");
      columns = List.of(Optional.empty());
      return;
    }
    List<Optional<CellsColumn>> found = new ArrayList<>();
    Set<CellsColumn> seen = new HashSet<>();
    if (CsvRow.split(text, separator).stream().allMatch(name -> CellsColumn.of(name).isEmpty())) {
      problems.add(
          file,
          line,
          "",
          "only unknown columns; the first line names the columns, such as id,rest_1_v");
      columns = List.of(Optional.empty());
      return;
    }
    for (String name : CsvRow.split(text, separator)) {
      Optional<CellsColumn> column = CellsColumn.of(name);
      if (column.isEmpty()) {
        String near = Suggestion.phrase(name, CellsColumn.names());
        problems.add(file, line, shown(name), "unknown column" + near + allowed(near));
      } else if (!seen.add(column.get())) {
        problems.add(file, line, name, "this column is there twice");
      }
      found.add(column);
    }
    columns = found;
    hasIds = seen.contains(new CellsColumn(CellsColumn.Kind.ID, 0));
    if (!hasIds) {
      problems.add(file, line, "", "the column id is missing");
    }
  }

  private static String allowed(String near) {
    return near.isEmpty() ? ", allowed: " + String.join(", ", CellsColumn.meanings().keySet()) : "";
  }

  private static String shown(String text) {
    return PlainText.marked(text, 40);
  }

  private void row(String text) {
    List<String> fields = CsvRow.split(text, separator);
    if (fields.size() > columns.size()) {
      problems.add(
          file,
          line,
          "",
          "holds "
              + Spoken.counted(fields.size(), "field")
              + ", the header names "
              + Spoken.counted(columns.size(), "column")
              + "; put remarks with a separator in quotes"
              + (separator == ',' ? ", and beside decimal commas separate by semicolons" : ""));
      return;
    }
    Map<CellsColumn, String> values = new HashMap<>();
    for (int i = 0; i < fields.size(); i++) {
      if (columns.get(i).isPresent() && !fields.get(i).isEmpty()) {
        values.put(columns.get(i).get(), fields.get(i));
      }
    }
    if (!values.isEmpty()) {
      add(new UnitRow(new RowFields(file, line, values, separator == ';', problems)).unit());
    }
  }

  private void add(Unit unit) {
    Integer before = unit.id().isEmpty() ? null : lineOfId.putIfAbsent(unit.id(), line);
    if (before != null) {
      problems.add(
          file,
          line,
          "id",
          "\""
              + unit.id()
              + "\" is also in line "
              + before
              + "; each unit has one line, further measurements have columns of their own");
    }
    units.add(unit);
  }
}
