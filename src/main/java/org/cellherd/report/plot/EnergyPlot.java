package org.cellherd.report.plot;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.result.EnergyResult;
import org.cellherd.pack.Spoken;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;
import org.cellherd.report.scene.Points;
import org.cellherd.report.scene.Shape;

/** Energy of each day: what went in above the line, what came out below it. */
final class EnergyPlot {

  /** Fewer days are told by the table alone. */
  static final int LEAST_DAYS = 3;

  /** How pale the bar of a day is that was heard in part. */
  private static final double PALE = 0.4;

  private static final double WH_PER_KWH = 1000;

  /** Part of a day's width that its bar takes. */
  private static final double BAR = 0.7;

  private EnergyPlot() {}

  static Optional<Drawing> scene(PlotInput input, Plots.Size size) {
    List<PlotFindings.Day> days =
        input.findings().days().stream().filter(d -> d.toMs() > d.fromMs()).toList();
    if (days.size() < LEAST_DAYS) {
      return Optional.empty();
    }
    double in = days.stream().mapToDouble(d -> d.chargedWh().mid()).max().orElse(0);
    double out = days.stream().mapToDouble(d -> d.dischargedWh().mid()).max().orElse(0);
    ValueAxis value =
        ValueAxis.even(
            -out / WH_PER_KWH, Math.max(in / WH_PER_KWH, 0.01), Plots.Size.TOP, size.plotHeight());
    PlotFrame frame = new PlotFrame(input, size, value);
    frame.grid("kWh");
    days.forEach(day -> bars(frame, value, day));
    words(frame, value, size);
    return Optional.of(frame.drawing("Energy of each day, in and out", description(days)));
  }

  private static void bars(PlotFrame frame, ValueAxis value, PlotFindings.Day day) {
    double zero = value.y(0);
    double top = value.y(day.chargedWh().mid() / WH_PER_KWH);
    double bottom = value.y(-day.dischargedWh().mid() / WH_PER_KWH);
    bar(frame, day, top, zero - top, Ink.S5);
    bar(frame, day, zero, bottom - zero, Ink.S1);
  }

  /** A day's bar, pale where the day was heard in part. */
  static void bar(PlotFrame frame, PlotFindings.Day day, double top, double height, Ink ink) {
    double left = frame.time().x(day.fromMs());
    double width = frame.time().x(day.toMs()) - left;
    double x = left + width * (1 - BAR) / 2;
    double right = x + width * BAR;
    if (day.isPartlyHeard()) {
      Points outline =
          new Points.Builder()
              .to(x, top)
              .to(right, top)
              .to(right, top + height)
              .to(x, top + height)
              .build();
      frame.add(new Shape.Area(outline, ink, PALE));
    } else {
      frame.add(new Shape.Box(x, top, width * BAR, height, ink));
    }
  }

  /** " Pale: 3 days that were heard in part."; empty without such days. */
  static String partly(List<PlotFindings.Day> days) {
    long count = days.stream().filter(PlotFindings.Day::isPartlyHeard).count();
    return count == 0
        ? ""
        : " Pale: " + Spoken.counted(count, "day") + " with readings for only part of the time.";
  }

  private static void words(PlotFrame frame, ValueAxis value, Plots.Size size) {
    double right = size.left() + size.plotWidth();
    frame.across(0, Pen.of(Ink.SOFT, 1));
    Shape.Letter letter = Shape.Letter.of(PlotFrame.SMALL, Ink.INK).strong();
    frame.add(new Shape.Words(right + 6, value.y(0) - 6, "in", letter));
    frame.add(new Shape.Words(right + 6, value.y(0) + 15, "out", letter));
  }

  private static String description(List<PlotFindings.Day> days) {
    return String.format(
            Locale.ROOT,
            "%s: %s in, %s out. Charged above the line, discharged below it.",
            Spoken.counted(days.size(), "day"),
            EnergyResult.together(days.stream().map(PlotFindings.Day::chargedWh)),
            EnergyResult.together(days.stream().map(PlotFindings.Day::dischargedWh)))
        + partly(days);
  }
}
