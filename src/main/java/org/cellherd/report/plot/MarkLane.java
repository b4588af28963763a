package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;

/** Marks of alerts above a plot and of remarks below it, each a link; crowded ones are joined. */
final class MarkLane {

  private static final double BOX = 17;
  private static final double BETWEEN = 2;

  /** Nearer to the axis than its unit, which ends 6 before it. */
  private static final double LEFTMOST = 4;

  private final Plots.Size size;
  private final TimeAxis time;
  private final List<Shape> shapes;

  /** From the middle of one box to that of the next, at least. */
  private double apart;

  MarkLane(Plots.Size size, TimeAxis time, List<Shape> shapes) {
    this.size = size;
    this.time = time;
    this.shapes = shapes;
  }

  void draw(List<PlotInput.Mark> marks) {
    lane(marks.stream().filter(m -> m.kind() != PlotInput.Mark.Kind.REMARK).toList());
    lane(marks.stream().filter(m -> m.kind() == PlotInput.Mark.Kind.REMARK).toList());
  }

  private void lane(List<PlotInput.Mark> marks) {
    List<PlotInput.Mark> ordered =
        marks.stream().sorted(Comparator.comparingLong(PlotInput.Mark::atMs)).toList();
    apart = BETWEEN + ordered.stream().mapToDouble(m -> width(m.symbol() + "+")).max().orElse(0);
    for (int i = 0; i < ordered.size(); ) {
      List<PlotInput.Mark> crowd = new ArrayList<>();
      PlotInput.Mark worst = ordered.get(i);
      double first = middle(worst);
      while (i < ordered.size() && isNear(ordered.get(i), first, worst)) {
        PlotInput.Mark next = ordered.get(i++);
        worst = next.kind().compareTo(worst.kind()) < 0 ? next : worst;
        crowd.add(next);
      }
      crowd(crowd, worst);
    }
  }

  /** The box stands at the worst of a crowd. */
  private boolean isNear(PlotInput.Mark mark, double first, PlotInput.Mark worst) {
    double x = middle(mark);
    return x - first < apart || x - middle(worst) < apart;
  }

  private static double width(String symbol) {
    return Math.max(BOX, 8 + 7 * symbol.length());
  }

  /** Of a mark's box: at its time, but beside the unit of the values. */
  private double middle(PlotInput.Mark mark) {
    return Math.max(time.x(mark.atMs()), size.left() - LEFTMOST + apart / 2);
  }

  private void crowd(List<PlotInput.Mark> crowd, PlotInput.Mark worst) {
    if (crowd.size() == 1) {
      shapes.add(link(worst, worst.symbol(), worst.name()));
    } else {
      String symbol = worst.symbol() + "+";
      shapes.add(link(worst, symbol, worst.name() + ", and " + (crowd.size() - 1) + " more"));
    }
  }

  private Shape link(PlotInput.Mark mark, String symbol, String name) {
    double x = time.x(mark.atMs());
    boolean remark = mark.kind() == PlotInput.Mark.Kind.REMARK;
    double bottom = Plots.Size.TOP + size.plotHeight();
    double top = remark ? bottom + 21 : 4;
    double width = width(symbol);
    double middle = middle(mark);
    List<Shape> parts = new ArrayList<>();
    Ink line = mark.kind() == PlotInput.Mark.Kind.CRITICAL ? Ink.LIMIT : Ink.SOFT;
    Pen.Dash dash = mark.kind() == PlotInput.Mark.Kind.CRITICAL ? Pen.Dash.SOLID : Pen.Dash.DOTTED;
    parts.add(
        new Shape.Path(
            Points.line(x, remark ? Plots.Size.TOP : top + BOX, x, bottom),
            new Pen(line, 1, dash)));
    parts.addAll(box(mark.kind(), middle - width / 2, top, width));
    Ink text = mark.kind() == PlotInput.Mark.Kind.CRITICAL ? Ink.PAPER : Ink.INK;
    parts.add(
        new Shape.Words(
            middle, top + 13, symbol, new Shape.Letter(12, text, Shape.Anchor.MIDDLE, true)));
    return new Shape.Link(mark.href(), name, parts);
  }

  private static List<Shape> box(PlotInput.Mark.Kind kind, double x, double y, double width) {
    Ink fill = kind == PlotInput.Mark.Kind.CRITICAL ? Ink.LIMIT : Ink.PAPER;
    Shape.Box box = new Shape.Box(x, y, width, BOX, fill);
    return switch (kind) {
      case CRITICAL -> List.of(box);
      case WARNING -> List.of(box, outline(x, y, width, new Pen(Ink.INK, 1.2, Pen.Dash.SOLID)));
      case NOTE, REMARK ->
          List.of(
              box,
              new Shape.Path(Points.line(x, y + BOX, x + width, y + BOX), Pen.of(Ink.SOFT, 1.5)));
    };
  }

  private static Shape outline(double x, double y, double width, Pen pen) {
    Points points =
        new Points.Builder()
            .to(x, y)
            .to(x + width, y)
            .to(x + width, y + BOX)
            .to(x, y + BOX)
            .to(x, y)
            .build();
    return new Shape.Path(points, pen);
  }
}
