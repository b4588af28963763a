package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Gap;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;

/** What all plots share: gaps, grid, marks of time and value. */
final class PlotFrame {

  /** Size of letters. */
  static final double SMALL = 13;

  private final PlotInput input;
  private final Plots.Size size;
  private final TimeAxis time;
  private final ValueAxis value;
  private final List<Shape> shapes = new ArrayList<>();

  PlotFrame(PlotInput input, Plots.Size size, ValueAxis value) {
    this.input = input;
    this.size = size;
    this.time = new TimeAxis(input.tracks(), input.zone(), size.left(), size.plotWidth());
    this.value = value;
  }

  TimeAxis time() {
    return time;
  }

  void add(Shape shape) {
    shapes.add(shape);
  }

  /** All that was added, under the marks: alerts above, remarks below. */
  Drawing drawing(String title, String description) {
    new MarkLane(size, time, shapes).draw(input.marks());
    return new Drawing(size.width(), size.height(), title, description, shapes);
  }

  /** Grey where nothing was heard, so that a gap is seen as one. */
  private void gaps() {
    for (Gap gap : input.gaps()) {
      gap(gap.fromMs(), gap.toMs());
    }
    Tracks tracks = input.tracks();
    tracks.holes().forEach(hole -> gap(hole.fromMs(), hole.toMs()));
    Tracks.Span heard = tracks.heard().orElse(new Tracks.Span(tracks.toMs(), tracks.toMs()));
    gap(tracks.fromMs(), heard.fromMs());
    gap(heard.toMs(), tracks.toMs());
  }

  private void gap(long fromMs, long toMs) {
    double x = time.x(fromMs);
    double width = time.x(toMs) - x;
    if (width < 0.75 || toMs <= input.tracks().fromMs() || fromMs >= input.tracks().toMs()) {
      return;
    }
    add(new Shape.Box(x, Plots.Size.TOP, width, size.plotHeight(), Ink.GAP));
    if (width > 80) {
      double y = Plots.Size.TOP + size.plotHeight() - 8;
      Shape.Letter letter = Shape.Letter.of(SMALL, Ink.SOFT).at(Shape.Anchor.MIDDLE);
      add(new Shape.Words(x + width / 2, y, "no readings", letter));
    }
  }

  double left() {
    return size.left();
  }

  /** A base line moved so far that its letters stay in the plot. */
  double inside(double y) {
    double bottom = Plots.Size.TOP + size.plotHeight() - 4;
    return Math.min(bottom, Math.max(Plots.Size.TOP + SMALL, y));
  }

  void band(double low, double high) {
    double y = value.y(high);
    add(new Shape.Box(size.left(), y, size.plotWidth(), value.y(low) - y, Ink.BAND));
  }

  void across(double at, Pen pen) {
    double y = value.y(at);
    add(new Shape.Path(Points.line(size.left(), y, size.left() + size.plotWidth(), y), pen));
  }

  /** Gaps, grid, times and values, with the values' unit. */
  void grid(String unit) {
    gaps();
    double right = size.left() + size.plotWidth();
    double bottom = Plots.Size.TOP + size.plotHeight();
    Shape.Letter end = Shape.Letter.of(SMALL, Ink.SOFT).at(Shape.Anchor.END);
    for (ValueAxis.Tick tick : value.ticks()) {
      add(
          new Shape.Path(
              Points.line(size.left(), tick.y(), right, tick.y()), Pen.of(Ink.GRID, 0.75)));
      add(new Shape.Words(size.left() - 6, tick.y() + 4, tick.text(), end));
    }
    add(new Shape.Words(size.left() - 6, Plots.Size.TOP - 10, unit, end.strong()));
    Shape.Letter middle = Shape.Letter.of(SMALL, Ink.SOFT).at(Shape.Anchor.MIDDLE);
    for (TimeAxis.Tick tick : time.ticks()) {
      add(
          new Shape.Path(
              Points.line(tick.x(), Plots.Size.TOP, tick.x(), bottom), Pen.of(Ink.GRID, 0.75)));
      add(new Shape.Words(tick.x(), bottom + 15, tick.text(), middle));
    }
    add(new Shape.Path(Points.line(size.left(), bottom, right, bottom), Pen.of(Ink.SOFT, 1)));
  }

  /** Base line of a limit's name: above it, or below where the marks of alerts would cover it. */
  private static double beside(double y) {
    return y - 4 - SMALL < Plots.Size.TOP ? y + SMALL : y - 4;
  }

  /** Levels of a kind that lie in the picture. */
  void limits(Channel.Kind kind) {
    for (LimitLine limit : input.limits()) {
      if (limit.kind() == kind && value.shows(limit.value())) {
        double y = value.y(limit.value());
        across(limit.value(), new Pen(Ink.LIMIT, 1, Pen.Dash.DASHED));
        String text = size.narrow() ? limit.name() : limit.words();
        add(new Shape.Words(size.left() + 5, beside(y), text, Shape.Letter.of(SMALL, Ink.LIMIT)));
      }
    }
  }
}
