package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import org.cellherd.pack.Facts;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;

/**
 * A table's intervals as bands: from low to high, with a stroke at the best value where it is told.
 */
public final class IntervalPlot {

  /** A phone shows it without making the letters smaller. */
  private static final double WIDTH = 330;

  private static final double LEFT = 60;
  private static final double RIGHT = 20;
  private static final double ROW = 20;

  private IntervalPlot() {}

  private record Row(String name, double low, OptionalDouble mid, double high) {}

  /**
   * Draws rows that hold facts of {@code low} and {@code high} of one quantity; empty when they do
   * not.
   */
  public static Optional<Drawing> scene(String title, List<Facts> facts) {
    List<Row> rows = facts.stream().flatMap(row -> row(row).stream()).toList();
    return rows.size() < 2 ? Optional.empty() : Optional.of(draw(title, rows));
  }

  private static Optional<Row> row(Facts facts) {
    OptionalDouble cell = facts.number("cell");
    String name = cell.isPresent() ? "cell " + (int) cell.getAsDouble() : "";
    return facts.list().stream()
        .flatMap(fact -> fact.value() instanceof Facts inner ? Stream.of(inner) : Stream.empty())
        .filter(bounds -> bounds.get("low").isPresent() && bounds.get("high").isPresent())
        .findFirst()
        .map(bounds -> row(name, bounds));
  }

  private static Row row(String name, Facts bounds) {
    double low = bounds.number("low").orElseThrow();
    double high = bounds.number("high").orElseThrow();
    return new Row(name, low, bounds.number("mid"), high);
  }

  private static Drawing draw(String title, List<Row> rows) {
    double low = Math.min(0, rows.stream().mapToDouble(Row::low).min().orElse(0));
    double high = Math.max(low + 1e-9, rows.stream().mapToDouble(Row::high).max().orElse(1));
    double scale = (WIDTH - LEFT - RIGHT) / (high - low);
    double height = rows.size() * ROW + 22;
    List<Shape> shapes = new ArrayList<>();
    double zero = LEFT - low * scale;
    shapes.add(new Shape.Path(Points.line(zero, 2, zero, height - 18), Pen.of(Ink.SOFT, 1)));
    Shape.Letter end = Shape.Letter.of(12, Ink.SOFT).at(Shape.Anchor.END);
    for (int i = 0; i < rows.size(); i++) {
      Row row = rows.get(i);
      double y = 4 + i * ROW;
      double x = LEFT + (row.low() - low) * scale;
      double width = Math.max(1.5, (row.high() - row.low()) * scale);
      shapes.add(new Shape.Box(x, y, width, ROW - 8, Ink.GRID));
      if (row.mid().isPresent()) {
        double mid = LEFT + (row.mid().getAsDouble() - low) * scale;
        shapes.add(new Shape.Path(Points.line(mid, y - 1, mid, y + ROW - 7), Pen.of(Ink.S1, 2.5)));
      }
      shapes.add(new Shape.Words(LEFT - 8, y + 10, row.name(), end));
    }
    shapes.add(new Shape.Words(zero, height - 4, "0", end.at(Shape.Anchor.MIDDLE)));
    shapes.add(new Shape.Words(WIDTH - RIGHT, height - 4, LimitLine.plain(high), end));
    return new Drawing(
        WIDTH,
        height,
        title,
        "Bands reach from the lower to the upper bound"
            + (rows.stream().anyMatch(row -> row.mid().isPresent())
                ? "; the stroke is the best value."
                : "."),
        shapes);
  }
}
