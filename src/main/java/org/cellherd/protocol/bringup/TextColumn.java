package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;

/**
 * The numbers of one column, key or transducer.
 *
 * @param name column number from 1, key, or type and name
 * @param numbers in the order of the lines
 */
record TextColumn(String name, List<Double> numbers) {
  private static final double LOWEST_CELL_V = 2.0;
  private static final double HIGHEST_CELL_V = 4.4;

  static OptionalDouble number(String text) {
    return text.length() <= 24 && text.matches("[-+]?[0-9]{1,12}(\\.[0-9]{1,9})?")
        ? OptionalDouble.of(Double.parseDouble(text))
        : OptionalDouble.empty();
  }

  double lowest() {
    return numbers.stream().mapToDouble(d -> d).min().orElse(0);
  }

  double highest() {
    return numbers.stream().mapToDouble(d -> d).max().orElse(0);
  }

  /** True when all numbers are those of a cell, in V or in mV. */
  boolean isCell(String unit) {
    double factor = unit.equals("V") ? 1 : 1000;
    return !numbers.isEmpty()
        && lowest() >= LOWEST_CELL_V * factor
        && highest() <= HIGHEST_CELL_V * factor;
  }

  /** The name without the number at its end. */
  String stem() {
    return name.replaceFirst("[0-9]+$", "");
  }

  /** The longest row of neighbours that are cells; their names end in rising numbers. */
  static List<TextColumn> cells(List<TextColumn> columns, String unit) {
    List<TextColumn> best = List.of();
    for (int from = 0; from < columns.size(); from++) {
      List<TextColumn> run = new ArrayList<>();
      for (int i = from; i < columns.size() && continues(run, columns.get(i), unit); i++) {
        run.add(columns.get(i));
      }
      best = run.size() > best.size() ? run : best;
    }
    return best.size() >= 3 ? best : List.of();
  }

  private static boolean continues(List<TextColumn> run, TextColumn next, String unit) {
    return next.isCell(unit)
        && (run.isEmpty()
            || (next.stem().equals(run.get(0).stem())
                && next.numberAtEnd() == run.get(run.size() - 1).numberAtEnd() + 1));
  }

  int numberAtEnd() {
    String digits = name.substring(stem().length());
    return digits.isEmpty() || digits.length() > 6 ? -1 : Integer.parseInt(digits);
  }
}
