package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;

/** Which line is which test, with what it came to; below the plot, so that any number fits. */
final class DischargeKey {

  private static final double ROW = 19;
  private static final double SAMPLE = 30;

  private final Plots.Size size;
  private final List<Shape> shapes = new ArrayList<>();
  private double y;

  DischargeKey(DischargeLines lines, Plots.Size size, double top, boolean isCellDrawn) {
    this.size = size;
    this.y = top;
    lines.list().stream().filter(l -> !l.isPale()).forEach(this::row);
    lines.list().stream().filter(DischargeLines.Line::isPale).forEach(this::row);
    if (isCellDrawn) {
      sample(new Pen(Ink.SOFT, 1.1, Pen.Dash.DASHED));
      words("dashed: the cell that ended the test", Shape.Letter.of(PlotFrame.SMALL, Ink.SOFT));
      y += ROW;
    }
  }

  List<Shape> shapes() {
    return shapes;
  }

  double bottom() {
    return y + 2;
  }

  private void row(DischargeLines.Line line) {
    sample(line.pen());
    double middle = y + ROW / 2;
    double text = left() + SAMPLE + 8;
    Shape.Letter plain = Shape.Letter.of(PlotFrame.SMALL, line.isPale() ? Ink.SOFT : Ink.INK);
    String letter = line.isPale() ? "earlier: " : line.letter() + "  ";
    words(letter + line.name(), plain);
    if (size.narrow()) {
      y += ROW;
      shapes.add(new Shape.Words(text + 16, y + ROW / 2 + 3, line.end(), plain.strong()));
    } else {
      double end = size.width() - size.right();
      shapes.add(new Shape.Words(end, middle + 4, line.end(), plain.strong().at(Shape.Anchor.END)));
    }
    y += ROW;
  }

  private double left() {
    return size.narrow() ? 6 : size.left();
  }

  private void sample(Pen pen) {
    double middle = y + ROW / 2;
    shapes.add(new Shape.Path(Points.line(left(), middle, left() + SAMPLE, middle), pen));
  }

  private void words(String text, Shape.Letter letter) {
    shapes.add(new Shape.Words(left() + SAMPLE + 8, y + ROW / 2 + 4, text, letter));
  }
}
