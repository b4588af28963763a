package org.cellherd.report.plot;

import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Ink;

/** How full and how empty the pack was on each day. */
final class RangePlot {

  private RangePlot() {}

  static Optional<Drawing> scene(PlotInput input, Plots.Size size) {
    List<PlotFindings.Day> days =
        input.findings().days().stream().filter(PlotFindings.Day::isRangeKnown).toList();
    if (days.size() < EnergyPlot.LEAST_DAYS) {
      return Optional.empty();
    }
    ValueAxis value = ValueAxis.even(0, 100, Plots.Size.TOP, size.plotHeight());
    PlotFrame frame = new PlotFrame(input, size, value);
    frame.grid("%");
    for (PlotFindings.Day day : days) {
      double high = value.y(day.highPct());
      double height = Math.max(1.5, value.y(day.lowPct()) - high);
      EnergyPlot.bar(frame, day, high, height, Ink.S3);
    }
    return Optional.of(
        frame.drawing("State of charge of each day, lowest to highest", description(input, days)));
  }

  private static String description(PlotInput input, List<PlotFindings.Day> days) {
    PlotFindings.Day lowest =
        days.stream().min(Comparator.comparingDouble(PlotFindings.Day::lowPct)).orElseThrow();
    return String.format(
            Locale.ROOT,
            "Lowest: %.0f %% on %s.",
            lowest.lowPct(),
            SpokenTime.day(lowest.fromMs(), input.zone()))
        + unknown(input.findings().days().size() - days.size())
        + EnergyPlot.partly(days);
  }

  private static String unknown(int count) {
    return count == 0
        ? ""
        : " Of " + Spoken.counted(count, "day") + " it is not known: too long after a full charge.";
  }
}
