package org.cellherd.report.lid;

import java.util.List;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Shape;
import org.cellherd.report.scene.Shape.Letter;
import org.cellherd.report.scene.TextFit;

/** Lines of text from top to bottom within a given room; what does not fit is counted. */
final class Column {

  private static final double LINE = 1.22;

  private final List<Shape> shapes;
  private final double x;
  private final double width;
  private final double end;
  private double y;

  Column(List<Shape> shapes, ArrangementPicture.Place place) {
    this.shapes = shapes;
    this.x = place.x();
    this.width = place.width();
    this.y = place.y();
    this.end = place.y() + place.height();
  }

  Column heading(String text, double size) {
    y += size;
    shapes.add(
        new Shape.Words(x, y, TextFit.cut(text, size, width), Letter.of(size, Ink.INK).strong()));
    y += size * 0.35;
    return this;
  }

  /** One paragraph each, folded to at most some lines; the last room names how many are left. */
  Column paragraphs(List<String> texts, double size, int mostLines) {
    for (int i = 0; i < texts.size(); i++) {
      List<String> folded = TextFit.wrap(texts.get(i), size, width, mostLines);
      boolean isLast = i == texts.size() - 1;
      double needed = (folded.size() + (isLast ? 0 : 1)) * size * LINE;
      if (y + needed > end) {
        line("and " + (texts.size() - i) + " more", size);
        return this;
      }
      folded.forEach(text -> line(text, size));
    }
    return this;
  }

  private void line(String text, double size) {
    y += size;
    shapes.add(new Shape.Words(x, y, text, Letter.of(size, Ink.INK)));
    y += size * (LINE - 1);
  }
}
