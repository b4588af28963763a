package org.cellherd.report.lid;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;
import org.cellherd.report.scene.Shape.Anchor;
import org.cellherd.report.scene.Shape.Letter;
import org.cellherd.report.scene.TextFit;

/**
 * Which unit goes where: the groups in the order of building, seen from above. The sign in a box is
 * the pole that shows; groups alternate, so that every strap joins two neighbours.
 */
public final class ArrangementPicture {

  /** More groups go to the next row. */
  private static final int MOST_IN_ROW = 16;

  /** A box of a picture of its own, in scene units. */
  private static final double BOX_WIDTH = 92;

  private static final double BOX_HEIGHT = 30;

  /** As wide as a sign and the gap behind it. */
  private static final String SIGN_ROOM = "\u2212 ";

  private final List<List<String>> groups;
  private final double x;
  private final double y;
  private final double step;
  private final double box;
  private final double rowHeight;
  private final int inRow;
  private final List<Shape> shapes = new ArrayList<>();

  private ArrangementPicture(List<List<String>> groups, Place place) {
    this.groups = groups;
    this.x = place.x();
    this.y = place.y();
    int rows = rows(groups.size());
    this.inRow = (groups.size() + rows - 1) / rows;
    this.step = Math.min(place.width() / inRow, place.height() * MOST_STEP);
    this.rowHeight = place.height() / rows;
    this.box = rowHeight / (most(groups) + MARGIN_BOXES);
  }

  /** Few groups do not become wider than this share of the height. */
  private static final double MOST_STEP = 0.8;

  /** Room for heading and straps of a row, in boxes. */
  private static final double MARGIN_BOXES = 2.4;

  /**
   * Where a picture goes.
   *
   * @param x left edge
   * @param y upper edge
   * @param width most
   * @param height most
   */
  public record Place(double x, double y, double width, double height) {}

  /** The picture as a part of another scene. */
  public static List<Shape> in(Place place, List<List<String>> groups) {
    return groups.isEmpty() ? List.of() : new ArrangementPicture(groups, place).draw();
  }

  /**
   * The picture alone, in CSS pixels.
   *
   * @throws IllegalArgumentException without groups
   */
  public static Drawing scene(String title, List<List<String>> groups) {
    if (groups.isEmpty()) {
      throw new IllegalArgumentException("no groups to draw");
    }
    int rows = rows(groups.size());
    int inRow = (groups.size() + rows - 1) / rows;
    double width = Math.max(4, inRow) * BOX_WIDTH;
    double height = rows * BOX_HEIGHT * (most(groups) + MARGIN_BOXES);
    double foot = 40;
    List<Shape> shapes = new ArrayList<>();
    shapes.add(new Shape.Box(0, 0, width + 40, height + foot + 40, Ink.PAPER));
    shapes.add(new Shape.Words(20, 28, title, Letter.of(16, Ink.INK).strong()));
    shapes.addAll(in(new Place(20, 44, width, height), groups));
    double size = TextFit.sizeFor(LEGEND, 12, 6, width);
    shapes.add(new Shape.Words(20, height + 62, LEGEND, Letter.of(size, Ink.SOFT)));
    return new Drawing(width + 40, height + foot + 40, title, description(groups), shapes);
  }

  /** What the picture means. */
  static final String LEGEND =
      "Seen from above; the sign is the pole that shows. Straps: dark on top, light on the"
          + " underside.";

  /** The same in words. */
  static String description(List<List<String>> groups) {
    List<String> lines = new ArrayList<>();
    for (int g = 0; g < groups.size(); g++) {
      lines.add("cell " + (g + 1) + ": " + String.join(", ", groups.get(g)));
    }
    return lines.stream().collect(Collectors.joining("; "));
  }

  static int rows(int groups) {
    return (groups + MOST_IN_ROW - 1) / MOST_IN_ROW;
  }

  private static int most(List<List<String>> groups) {
    return groups.stream().mapToInt(List::size).max().orElse(1);
  }

  private List<Shape> draw() {
    double letter = letter();
    for (int g = 0; g < groups.size(); g++) {
      group(g, letter);
      strap(g);
    }
    poles();
    return shapes;
  }

  /** One size for all ids, so that none looks more important. */
  private double letter() {
    double size = box * 0.52;
    for (List<String> group : groups) {
      for (String id : group) {
        size = TextFit.sizeFor(SIGN_ROOM + id, size, step * 0.09, step * 0.86);
      }
    }
    return size;
  }

  private double left(int g) {
    return x + g % inRow * step + step * 0.04;
  }

  private double top(int g) {
    int row = g / inRow;
    return y + row * rowHeight + box * 1.2;
  }

  private double bottom(int g) {
    return top(g) + most(groups) * box;
  }

  private double middle(int g) {
    return left(g) + step * 0.46;
  }

  private void group(int g, double letter) {
    String heading = step < box * 2.2 ? "" + (g + 1) : "cell " + (g + 1);
    double size = TextFit.sizeFor(heading, box * 0.46, box * 0.2, step * 0.9);
    shapes.add(
        new Shape.Words(
            middle(g),
            top(g) - box * 0.62,
            heading,
            Letter.of(size, Ink.INK).at(Anchor.MIDDLE).strong()));
    List<String> units = groups.get(g);
    for (int u = 0; u < units.size(); u++) {
      unit(g, top(g) + u * box, units.get(u), letter);
    }
  }

  private void unit(int g, double boxTop, String id, double letter) {
    double width = step * 0.92;
    double height = box * 0.9;
    boolean isUp = g % 2 == 0;
    shapes.add(new Shape.Box(left(g), boxTop, width, height, Ink.INK));
    double line = Math.max(box * 0.03, step * 0.006);
    shapes.add(
        new Shape.Box(
            left(g) + line,
            boxTop + line,
            width - 2 * line,
            height - 2 * line,
            isUp ? Ink.BAND : Ink.PAPER));
    double base = boxTop + height / 2 + letter * 0.36;
    String sign = isUp ? "+" : "\u2212";
    double signLeft = left(g) + step * 0.03;
    shapes.add(new Shape.Words(signLeft, base, sign, Letter.of(letter * 1.1, Ink.INK).strong()));
    double indent = TextFit.width(SIGN_ROOM, letter);
    String cut = TextFit.cut(id, letter, step * 0.86 - indent);
    shapes.add(new Shape.Words(signLeft + indent, base, cut, Letter.of(letter, Ink.INK)));
  }

  /** From a group to the next: on top where the first shows +, else on the underside. */
  private void strap(int g) {
    if (g + 1 >= groups.size()) {
      return;
    }
    boolean isTop = g % 2 == 0;
    double at = isTop ? top(g) - box * 0.3 : bottom(g) + box * 0.25;
    Pen pen = Pen.of(isTop ? Ink.INK : Ink.SOFT, box * (isTop ? 0.16 : 0.1));
    if (g / inRow == (g + 1) / inRow) {
      shapes.add(new Shape.Path(Points.line(middle(g), at, middle(g + 1), at), pen));
    } else {
      double end = left(g) + step * 0.92;
      shapes.add(new Shape.Path(Points.line(middle(g), at, end, at), pen));
      double begin = at + rowHeight;
      shapes.add(new Shape.Path(Points.line(x, begin, middle(g + 1), begin), pen));
    }
  }

  /** Where the pack's own poles are. */
  private void poles() {
    int last = groups.size() - 1;
    pole(0, bottom(0) + box * 0.8, "pack \u2212 (underside)");
    boolean isTop = last % 2 == 0;
    if (last > 0 || isTop) {
      pole(
          last,
          isTop ? top(last) - box * 0.12 : bottom(last) + box * 0.8,
          isTop ? "pack +" : "pack + (underside)");
    }
  }

  private void pole(int g, double at, String text) {
    boolean isFirst = g % inRow == 0;
    double size = box * 0.36;
    shapes.add(
        new Shape.Words(
            isFirst ? left(g) : left(g) + step * 0.92,
            at,
            text,
            Letter.of(size, Ink.INK).at(isFirst ? Anchor.START : Anchor.END)));
  }
}
