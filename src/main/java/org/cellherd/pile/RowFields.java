package org.cellherd.pile;

import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import org.cellherd.pack.PlainText;
import org.cellherd.pile.CellsColumn.Kind;
import org.cellherd.toml.Problems;

/** The fields of one line as texts and bounded numbers; says what is wrong with each. */
final class RowFields {

  /** No cell that a hand can lift holds more; beyond it milliampere-hours were typed. */
  private static final double MOST_AH = 2000;

  private final String file;
  private final int line;
  private final Map<CellsColumn, String> values;
  private final boolean decimalComma;
  private final Problems problems;

  RowFields(
      String file,
      int line,
      Map<CellsColumn, String> values,
      boolean decimalComma,
      Problems problems) {
    this.file = file;
    this.line = line;
    this.values = Map.copyOf(values);
    this.decimalComma = decimalComma;
    this.problems = problems;
  }

  /** The greatest number of a measurement in this line; 0 without any. */
  int measurements() {
    return values.keySet().stream().mapToInt(CellsColumn::number).max().orElse(0);
  }

  int count(Kind kind) {
    OptionalDouble value = number(kind, 0, 1, 1000);
    if (value.isPresent() && value.getAsDouble() != Math.rint(value.getAsDouble())) {
      wrong(kind, 0, "must be a whole number");
    }
    return (int) value.orElse(1);
  }

  OptionalDouble ampereHours(Kind kind, int n) {
    OptionalDouble ah = number(kind, n, 0.001, Double.MAX_VALUE);
    if (ah.isPresent() && ah.getAsDouble() > MOST_AH) {
      wrong(
          kind,
          n,
          "%s Ah looks like mAh; the column holds Ah, did you mean %s?"
              .formatted(Amount.of(ah.getAsDouble()), Amount.of(ah.getAsDouble() / 1000)));
      return OptionalDouble.empty();
    }
    return ah;
  }

  OptionalDouble number(Kind kind, int n, double least, double most) {
    Optional<String> text = text(kind, n);
    if (text.isEmpty()) {
      return OptionalDouble.empty();
    }
    String plain = decimalComma ? text.get().replace(',', '.') : text.get();
    if (!plain.matches("[+-]?[0-9]{1,12}([.][0-9]{0,12})?")) {
      wrong(kind, n, "\"" + cut(text.get()) + "\" is not a number");
      return OptionalDouble.empty();
    }
    double value = Double.parseDouble(plain);
    if (value < least || value > most) {
      String near =
          inThousands(value, least, most).map(v -> ", did you mean " + v + "?").orElse("");
      wrong(kind, n, cut(text.get()) + near + ", allowed: " + Amount.of(least) + range(most));
      return OptionalDouble.empty();
    }
    return OptionalDouble.of(value);
  }

  /** The value where its unit was taken for one a thousand times as large, or as small. */
  private static Optional<String> inThousands(double value, double least, double most) {
    boolean isLarge = value > 100 * most && value / 1000 <= most;
    boolean isSmall = value > 0 && value < least && value * 1000 >= least;
    return isLarge || isSmall
        ? Optional.of(Amount.of(isLarge ? value / 1000 : value * 1000))
        : Optional.empty();
  }

  private static String range(double most) {
    return most == Double.MAX_VALUE ? " and more" : " to " + Amount.of(most);
  }

  Optional<String> text(Kind kind, int n) {
    return Stream.ofNullable(values.get(new CellsColumn(kind, n))).findFirst();
  }

  void wrong(Kind kind, int n, String message) {
    problems.add(file, line, new CellsColumn(kind, n).name(), message);
  }

  static String cut(String text) {
    return PlainText.marked(text, 40);
  }
}
