package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.discharge.DischargeCurve;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;

/** Capacity tests over what was drawn: as voltage over charge, or as power over energy. */
public final class DischargePlot {

  private static final double RIGHT = 26;

  /** The letters of the curves stand right of the longest one. */
  private static final double ROOM = 1.06;

  private static final double APART = 15;

  /** Room for the unit at the right end of the axis. */
  private static final double UNIT = 14;

  /** A dot at the end of a curve. */
  private static final double DOT = 6;

  private final DischargeLines lines;
  private final Over over;
  private final Plots.Size size;
  private final ValueAxis across;
  private final ValueAxis value;
  private final List<Shape> shapes = new ArrayList<>();

  /** What is drawn over what. */
  public enum Over {
    /** Volts of a cell over charge. */
    CHARGE("Discharge curves: mean voltage of a cell over charge drawn", "V", "Ah"),
    /** Watts of the pack over energy. */
    ENERGY("Power over energy drawn", "W", "Wh");

    private final String title;
    private final String valueUnit;
    private final String acrossUnit;

    Over(String title, String valueUnit, String acrossUnit) {
      this.title = title;
      this.valueUnit = valueUnit;
      this.acrossUnit = acrossUnit;
    }
  }

  private DischargePlot(DischargeLines lines, Over over, Plots.Size given) {
    this.lines = lines;
    this.over = over;
    this.size = new Plots.Size(given.width(), given.height(), given.left(), RIGHT, given.narrow());
    double most = lines.list().stream().mapToDouble(l -> x(l.test().curve().end())).max().orElse(1);
    across = ValueAxis.across(0, most * ROOM, size.left(), size.plotWidth());
    value = value();
  }

  /** Draws it; empty without any curve. */
  public static Optional<Drawing> scene(DischargeLines lines, Over over, Plots.Size size) {
    return lines.list().isEmpty()
        ? Optional.empty()
        : Optional.of(new DischargePlot(lines, over, size).draw());
  }

  private ValueAxis value() {
    double low = over == Over.CHARGE && lines.hasCutOff() ? lines.cutOffV() : Double.MAX_VALUE;
    double high = -Double.MAX_VALUE;
    for (DischargeLines.Line line : lines.list()) {
      for (DischargeCurve.Point point : line.test().curve().points()) {
        double y = y(line, point);
        double cell = over == Over.CHARGE && line.isCellDrawn() ? point.cellVolts() : y;
        low = Math.min(low, Math.min(y, cell));
        high = Math.max(high, Math.max(y, cell));
      }
    }
    low = over == Over.ENERGY ? 0 : low;
    return ValueAxis.even(low, Math.max(high, low + 0.01), Plots.Size.TOP, size.plotHeight());
  }

  private double x(DischargeCurve.Point point) {
    return over == Over.CHARGE ? point.ah() : point.wh();
  }

  private double y(DischargeLines.Line line, DischargeCurve.Point point) {
    return over == Over.CHARGE ? point.volts() / line.test().curve().series() : point.watts();
  }

  private Drawing draw() {
    grid();
    lines.list().stream().filter(DischargeLines.Line::isPale).forEach(this::line);
    lines.list().stream().filter(l -> !l.isPale()).forEach(this::line);
    letters();
    cutOff();
    double top = Plots.Size.TOP + size.plotHeight() + 40;
    DischargeKey key = new DischargeKey(lines, size, top, over == Over.CHARGE && lines.hasCell());
    shapes.addAll(key.shapes());
    return new Drawing(size.width(), key.bottom(), over.title, description(), shapes);
  }

  private void grid() {
    double right = size.left() + size.plotWidth();
    double bottom = Plots.Size.TOP + size.plotHeight();
    Shape.Letter end = Shape.Letter.of(PlotFrame.SMALL, Ink.SOFT).at(Shape.Anchor.END);
    Shape.Letter middle = end.at(Shape.Anchor.MIDDLE);
    Pen pen = Pen.of(Ink.GRID, 0.75);
    for (ValueAxis.Tick tick : value.ticks()) {
      shapes.add(new Shape.Path(Points.line(size.left(), tick.y(), right, tick.y()), pen));
      shapes.add(new Shape.Words(size.left() - 6, tick.y() + 4, tick.text(), end));
    }
    for (ValueAxis.Tick tick : across.ticks()) {
      shapes.add(new Shape.Path(Points.line(tick.y(), Plots.Size.TOP, tick.y(), bottom), pen));
      if (tick.y() < right - UNIT) {
        shapes.add(new Shape.Words(tick.y(), bottom + 15, tick.text(), middle));
      }
    }
    shapes.add(new Shape.Words(size.left() - 6, Plots.Size.TOP - 10, over.valueUnit, end.strong()));
    shapes.add(new Shape.Words(size.width() - 4, bottom + 15, over.acrossUnit, end.strong()));
    shapes.add(
        new Shape.Path(Points.line(size.left(), bottom, right, bottom), Pen.of(Ink.SOFT, 1)));
  }

  private void line(DischargeLines.Line line) {
    Points.Builder whole = new Points.Builder();
    Points.Builder cell = new Points.Builder();
    for (DischargeCurve.Point point : line.test().curve().points()) {
      whole.to(across.y(x(point)), value.y(y(line, point)));
      if (line.isCellDrawn()) {
        cell.to(across.y(x(point)), value.y(point.cellVolts()));
      }
    }
    shapes.add(new Shape.Path(whole.build(), line.pen()));
    if (over == Over.CHARGE && line.isCellDrawn()) {
      shapes.add(new Shape.Path(cell.build(), line.cellPen()));
    }
    dot(line);
  }

  private void dot(DischargeLines.Line line) {
    double half = (line.isPale() ? DOT / 2 : DOT) / 2;
    double x = endX(line);
    double y = endY(line);
    shapes.add(new Shape.Box(x - half, y - half, 2 * half, 2 * half, line.pen().ink()));
  }

  /** Letters below each other right of all curves, each led to its end. */
  private void letters() {
    List<DischargeLines.Line> shown =
        lines.list().stream()
            .filter(l -> !l.isPale())
            .sorted(Comparator.comparingDouble(this::endY))
            .toList();
    double left = lines.list().stream().mapToDouble(this::endX).max().orElse(0) + 14;
    double bottom = Plots.Size.TOP + size.plotHeight();
    double first = shown.stream().mapToDouble(this::endY).min().orElse(0);
    double y = Math.max(Plots.Size.TOP, Math.min(first, bottom - shown.size() * APART));
    for (DischargeLines.Line line : shown) {
      y = Math.max(y, Math.min(endY(line), bottom));
      Pen lead = Pen.of(line.pen().ink(), 0.75);
      shapes.add(new Shape.Path(Points.line(endX(line), endY(line), left - 2, y), lead));
      Shape.Letter letter = Shape.Letter.of(PlotFrame.SMALL, line.pen().ink()).strong();
      shapes.add(new Shape.Words(left, y + 4, line.letter(), letter));
      y += APART;
    }
  }

  private double endX(DischargeLines.Line line) {
    return across.y(x(line.test().curve().end()));
  }

  private double endY(DischargeLines.Line line) {
    return value.y(y(line, line.test().curve().end()));
  }

  private void cutOff() {
    if (over != Over.CHARGE || !lines.hasCutOff()) {
      return;
    }
    double y = value.y(lines.cutOffV());
    double right = size.left() + size.plotWidth();
    shapes.add(
        new Shape.Path(
            Points.line(size.left(), y, right, y), new Pen(Ink.LIMIT, 1, Pen.Dash.DASHED)));
    String name = String.format(Locale.ROOT, "cut-off %.2f V", lines.cutOffV());
    shapes.add(
        new Shape.Words(size.left() + 5, y - 4, name, Shape.Letter.of(PlotFrame.SMALL, Ink.LIMIT)));
  }

  private String description() {
    List<String> told = lines.list().stream().map(l -> l.name() + ": " + l.end()).toList();
    String cell =
        over == Over.CHARGE && lines.hasCell()
            ? " The dashed line is the cell that ended the test."
            : "";
    return String.join("; ", told) + "." + cell;
  }
}
