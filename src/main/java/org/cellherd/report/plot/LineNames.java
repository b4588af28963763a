package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;

/** Names and numbers at the right end of lines, moved apart where they would overlap. */
final class LineNames {

  private static final double LETTER = 13;
  private static final double APART = 14;

  private final Plots.Size size;
  private final List<Entry> entries = new ArrayList<>();

  LineNames(Plots.Size size) {
    this.size = size;
  }

  private static final class Entry {
    private final double lineY;
    private final String name;
    private final String number;
    private final Pen pen;
    private double y;

    Entry(double lineY, String name, String number, Pen pen) {
      this.lineY = lineY;
      this.name = name;
      this.number = number;
      this.pen = pen;
      this.y = lineY;
    }
  }

  void add(double y, String name, String number, Pen pen) {
    entries.add(new Entry(y, name, number, pen));
  }

  List<Shape> shapes() {
    entries.sort(Comparator.comparingDouble(entry -> entry.lineY));
    List<Entry> shown = fitting();
    moveApart(shown);
    List<Shape> shapes = new ArrayList<>();
    for (Entry entry : shown) {
      draw(entry, shapes);
    }
    return shapes;
  }

  /** When there is no room for all, the outermost are named, half above and half below. */
  private List<Entry> fitting() {
    int room = (int) (size.plotHeight() / APART);
    if (entries.size() <= room) {
      return entries;
    }
    List<Entry> shown = new ArrayList<>(entries.subList(0, room / 2));
    shown.addAll(entries.subList(entries.size() - (room - room / 2), entries.size()));
    return shown;
  }

  private void moveApart(List<Entry> shown) {
    double bottom = Plots.Size.TOP + size.plotHeight();
    double limit = Plots.Size.TOP;
    for (Entry entry : shown) {
      entry.y = Math.max(entry.y, limit);
      limit = entry.y + APART;
    }
    limit = bottom;
    for (int i = shown.size() - 1; i >= 0; i--) {
      shown.get(i).y = Math.min(shown.get(i).y, limit);
      limit = shown.get(i).y - APART;
    }
  }

  private void draw(Entry entry, List<Shape> shapes) {
    double edge = size.left() + size.plotWidth();
    // A phone has room for the number of a cell; a longer name ends at the edge.
    double longer = size.narrow() ? Math.max(0, entry.name.length() - 3) * 8 : 0;
    double text = edge + (size.narrow() ? 8 : 24) - longer;
    shapes.add(
        new Shape.Path(
            Points.line(edge + 1, entry.lineY, text - 3, entry.y),
            new Pen(entry.pen.ink(), 1.4, entry.pen.dash())));
    Shape.Letter letter = Shape.Letter.of(LETTER, Ink.INK);
    shapes.add(new Shape.Words(text, entry.y + 4, entry.name, letter.strong()));
    if (!size.narrow()) {
      shapes.add(
          new Shape.Words(
              size.width() - 2, entry.y + 4, entry.number, letter.at(Shape.Anchor.END)));
    }
  }
}
