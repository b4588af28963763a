package org.cellherd.report.plot;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.DoubleStream;
import org.cellherd.pack.Spoken;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;

/** What is known now and then over months: a dot each time, its bounds as a band. */
final class TrendPlot {

  private static final double SHADE = 0.16;
  private static final double DOT = 5;

  /** More dots on a line would hide it. */
  private static final int MOST_DOTS = 40;

  /** Bands are drawn as far beyond the lines as the lines reach; a wider one is cut. */
  private static final double BAND_REACH = 1;

  private final PlotInput input;
  private final Plots.Size size;
  private final Head head;
  private final List<Trend> trends;

  /**
   * What it is of.
   *
   * @param title its name
   * @param unit of the values
   * @param decimals of numbers beside the lines
   * @param least that is shown from bottom to top, so that noise does not look like a trend
   * @param words what lines and bands mean
   * @param none what is said where no cell stands out
   */
  record Head(String title, String unit, int decimals, double least, String words, String none) {}

  TrendPlot(PlotInput input, Plots.Size size, Head head, List<Trend> trends) {
    this.input = input;
    this.size = size;
    this.head = head;
    this.trends = trends;
  }

  /** Empty while nothing is known twice. */
  Optional<Drawing> scene() {
    if (trends.stream().noneMatch(t -> t.points().size() > 1)) {
      return Optional.empty();
    }
    ValueAxis value = axis();
    PlotFrame frame = new PlotFrame(input, size, value);
    frame.grid(head.unit());
    banded().forEach(t -> band(frame, value, t));
    LineNames names = new LineNames(size);
    trends.stream().filter(t -> !t.isNamed()).forEach(t -> line(frame, value, t, names));
    trends.stream().filter(Trend::isNamed).forEach(t -> line(frame, value, t, names));
    names.shapes().forEach(frame::add);
    return Optional.of(frame.drawing(head.title(), description()));
  }

  /** Those that stand out; where none does the middle one shows what the errors leave open. */
  private List<Trend> banded() {
    List<Trend> named = trends.stream().filter(Trend::isNamed).toList();
    return named.isEmpty() ? List.of(byEnd().get(trends.size() / 2)) : named;
  }

  private List<Trend> byEnd() {
    return trends.stream().sorted(Comparator.comparingDouble(Trend::end)).toList();
  }

  private ValueAxis axis() {
    double low = mids().min().orElse(0);
    double high = mids().max().orElse(0);
    boolean isAnyNamed = trends.stream().anyMatch(Trend::isNamed);
    double reach = isAnyNamed ? BAND_REACH * (high - low) : Double.MAX_VALUE;
    double lowest = bounds(true).min().orElse(low);
    double highest = bounds(false).max().orElse(high);
    low = Math.min(low, Math.max(low - reach, lowest));
    high = Math.max(high, Math.min(high + reach, highest));
    double room = Math.max(1e-9, head.least() - (high - low)) / 2;
    return ValueAxis.even(low - room, high + room, Plots.Size.TOP, size.plotHeight());
  }

  private DoubleStream mids() {
    return trends.stream().flatMap(t -> t.points().stream()).mapToDouble(p -> p.value().mid());
  }

  private DoubleStream bounds(boolean isLow) {
    return banded().stream()
        .flatMap(t -> t.points().stream())
        .mapToDouble(p -> isLow ? p.value().low() : p.value().high())
        .filter(Double::isFinite);
  }

  private void band(PlotFrame frame, ValueAxis value, Trend trend) {
    Points.Builder points = new Points.Builder();
    for (Trend.Point point : trend.points()) {
      points.to(frame.time().x(point.atMs()), value.y(point.value().high()));
    }
    for (int i = trend.points().size() - 1; i >= 0; i--) {
      Trend.Point point = trend.points().get(i);
      points.to(frame.time().x(point.atMs()), value.y(point.value().low()));
    }
    frame.add(
        new Shape.Area(
            points.build(), trend.isNamed() ? Ink.line(trend.number()) : Ink.SOFT, SHADE));
  }

  private void line(PlotFrame frame, ValueAxis value, Trend trend, LineNames names) {
    Pen pen = trend.isNamed() ? Pen.line(trend.number(), 1.6) : Pen.of(Ink.SOFT, 0.7);
    Points.Builder points = new Points.Builder();
    for (Trend.Point point : trend.points()) {
      double x = frame.time().x(point.atMs());
      double y = value.y(point.value().mid());
      points.to(x, y);
      if (trend.isNamed() && trend.points().size() <= MOST_DOTS) {
        frame.add(new Shape.Box(x - DOT / 2, y - DOT / 2, DOT, DOT, pen.ink()));
      }
    }
    frame.add(new Shape.Path(points.build(), pen));
    if (trend.isNamed()) {
      trend
          .newest()
          .ifPresent(
              p -> names.add(value.y(p.value().mid()), trend.name(), number(p.value().mid()), pen));
    }
  }

  private String description() {
    List<Trend> byEnd = byEnd();
    long grey = trends.stream().filter(t -> !t.isNamed()).count();
    String words = head.words();
    if (grey > 0) {
      Trend high = byEnd.get(byEnd.size() - 1);
      words +=
          " At the end cell " + end(high) + " is highest, cell " + end(byEnd.get(0)) + " lowest.";
      words +=
          grey < trends.size()
              ? " Grey: the other " + Spoken.counted(grey, "cell") + "."
              : " " + head.none();
    }
    return words;
  }

  private String end(Trend trend) {
    return trend.name() + " (" + number(trend.end()) + " " + head.unit() + ")";
  }

  private String number(double value) {
    return Spoken.number(value, head.decimals());
  }
}
