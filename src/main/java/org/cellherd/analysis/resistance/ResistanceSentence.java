package org.cellherd.analysis.resistance;

import java.util.Locale;
import org.cellherd.analysis.result.ResistanceResult;
import org.cellherd.analysis.result.ResistanceResult.Cell;
import org.cellherd.analysis.result.ResistanceResult.Sign;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/** Says the table in words. */
final class ResistanceSentence {
  /** A step of this share of the rating moves cells well beyond a board's last digit. */
  private static final double GOOD_RATE = 0.2;

  private ResistanceSentence() {}

  static String of(ResistanceTable table, PackPlan plan) {
    StringBuilder text = new StringBuilder();
    if (table.sign() == Sign.WRONG) {
      return say(
          "By %s every cell has a negative resistance: the board's current has the wrong"
              + " sign.",
          Spoken.counted(table.steps(), "load step"));
    }
    text.append(table.isOfMost() ? median(table, plan) : some(table, plan));
    for (int cell : table.suspects()) {
      suspect(text, table, cell, plan.series());
    }
    if (!Double.isNaN(table.pathMohm())) {
      text.append(say(" Links and switches outside the cells add %.1f mΩ.", table.pathMohm()));
    }
    few(text, table);
    return text.toString();
  }

  private static String median(ResistanceTable table, PackPlan plan) {
    return say(
        plan.series() == 1
            ? "%.0f s after a load step (%s%s) the cell shows %.2f mΩ."
            : "%.0f s after a load step (%s%s) a cell shows %.2f mΩ, the median of %d.",
        table.pulseSeconds(),
        Spoken.counted(table.steps(), "step"),
        Double.isNaN(table.celsius()) ? "" : " around " + Spoken.number(table.celsius(), 0) + " °C",
        table.medianMohm(),
        plan.series());
  }

  /** No pulse tells enough cells for a median; each is told by the pulse that knows it best. */
  private static String some(ResistanceTable table, PackPlan plan) {
    StringBuilder text = new StringBuilder("After a load step");
    for (Cell cell : table.cells()) {
      text.append(
          say(
              " cell %d shows %s mΩ (%.0f s),",
              cell.cell(),
              Spoken.between(cell.mohm().low(), cell.mohm().high(), 2),
              cell.pulseS()));
    }
    text.setCharAt(text.length() - 1, '.');
    int others = plan.series() - table.cells().size();
    if (others > 0) {
      text.append(
          say(
              " No resistance is given for %s, near full or empty or hardly moved by the step: put"
                  + " a load of %s A or more on and off at half charge.",
              Spoken.counted(others, "cell"), Spoken.high(GOOD_RATE * plan.ratedAh(), 0)));
    }
    return text.toString();
  }

  private static void suspect(StringBuilder text, ResistanceTable table, int cell, int series) {
    // A cell may stand out by its excess where too few others are known for a median.
    text.append(
        table.isOfMost() && !Double.isNaN(table.mohm(cell))
            ? say(" Cell %d shows %.1f times that: ", cell, table.mohm(cell) / table.medianMohm())
            : say(" Cell %d shows more than the others: ", cell));
    text.append(
        switch (table.suspect(cell).orElse(ResistanceResult.Suspect.STRAP_OR_CELL)) {
          case STRAP ->
              "a bad joint, for the excess does not follow temperature or pulse length; check its"
                  + " straps and nuts";
          case CELL -> "the cell itself, for the excess moves as the other cells do";
          case STRAP_OR_CELL ->
              "a joint or the cell, not told apart yet; check its straps and nuts first";
        });
    text.append(cell == 1 || cell == series ? " (and the main lead's lug)." : ".");
  }

  private static void few(StringBuilder text, ResistanceTable table) {
    if (table.steps() < ResistanceTable.LEAST_STEPS && table.suspects().isEmpty()) {
      text.append(
          say(
              " With %s only a cell far above the others is named; to judge the rest, %d are"
                  + " needed.",
              Spoken.counted(table.steps(), "step"), ResistanceTable.LEAST_STEPS));
    }
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
